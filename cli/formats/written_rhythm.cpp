#include "cli/formats/written_rhythm.h"

#include <algorithm>
#include <array>
#include <bit>
#include <numeric>

namespace romanesca {
namespace {

constexpr int longest = 2;  // a whole note; no bar here is longer than a dotted one
/// The finest value with a name, far below what 24 chords in any meter need.
constexpr int shortest = -8;

bool is_binary(Beats length) { return std::has_single_bit(static_cast<std::uint64_t>(length.denominator())); }

/// The longest single value within @p limit, a binary fraction.
NoteValue longest_within(Beats limit) {
  for (int power = longest; power > shortest; --power) {
    for (const bool dotted : {true, false}) {
      const NoteValue value{power, dotted};
      if (value.length() <= limit) return value;
    }
  }
  return {shortest, false};
}

/// How far a note that starts at @p at may reach without hiding a pulse.
Beats reach(Beats at, Beats left, const Meter& meter) {
  const Beats pulse = meter.pulse_length();
  const Beats into_pulse = at - pulse * whole_times(at, pulse);
  if (into_pulse != Beats{}) return std::min(left, pulse - into_pulse);
  const std::int64_t pulses = whole_times(left, pulse);
  if (pulses == 0) return left;
  // Counts of pulses without a single value, cut as players count them.
  if (meter.is_compound() && pulses == 3) return pulse * 2;
  if (!meter.is_compound() && pulses == 5) return pulse * 3;
  return pulse * pulses;
}

std::vector<WrittenNote> with_ties(std::span<const Beats> lengths, const Meter& meter) {
  std::vector<WrittenNote> written;
  Beats at;
  for (std::size_t event = 0; event < lengths.size(); ++event) {
    for (Beats left = lengths[event]; left > Beats{};) {
      const NoteValue value = longest_within(reach(at, left, meter));
      written.push_back({event, value.length(), value, {}});
      at += value.length();
      left -= value.length();
    }
  }
  return written;
}

/// The greatest length that all of them are multiples of.
Beats common_unit(std::span<const Beats> lengths) {
  Beats unit = lengths.front();
  for (const Beats length : lengths) {
    unit = {std::gcd(unit.numerator() * length.denominator(), length.numerator() * unit.denominator()),
            unit.denominator() * length.denominator()};
  }
  return unit;
}

/// The value of which @p count notes fill @p bar with the smallest tuplet ratio: at least one and less than
/// two notes in the time of one. Where there is none, the longest of which the bar holds a whole number.
NoteValue tuplet_unit(Beats bar, std::int64_t count) {
  std::optional<NoteValue> best;
  for (int power = longest; power >= shortest; --power) {
    const NoteValue value{power, false};
    const std::int64_t fitting = whole_times(bar, value.length());
    if (value.length() * fitting != bar || (best && fitting > count)) continue;
    best = value;
  }
  return *best;
}

std::vector<WrittenNote> with_tuplets(std::span<const Beats> lengths, Beats bar) {
  const Beats unit = common_unit(lengths);
  const std::int64_t actual = whole_times(bar, unit);
  const NoteValue face = tuplet_unit(bar, actual);
  const std::int64_t normal = whole_times(bar, face.length());
  // Brackets may only end where a chord does.
  const bool even = std::all_of(lengths.begin(), lengths.end(), [&](Beats length) { return length == unit; });
  const std::int64_t brackets = even ? std::gcd(actual, normal) : 1;
  const Beats bracket = face.length() * (actual / brackets);
  std::vector<WrittenNote> written;
  Beats at;  // in values as they look
  for (std::size_t event = 0; event < lengths.size(); ++event) {
    for (Beats left = face.length() * whole_times(lengths[event], unit); left > Beats{};) {
      const NoteValue value = longest_within(left);
      Tuplet tuplet{static_cast<int>(actual / brackets), static_cast<int>(normal / brackets), face};
      tuplet.opens = bracket * whole_times(at, bracket) == at;
      at += value.length();
      left -= value.length();
      tuplet.closes = bracket * whole_times(at, bracket) == at;
      written.push_back({event, value.length() * normal / actual, value, tuplet});
    }
  }
  return written;
}

}  // namespace

Beats NoteValue::length() const noexcept {
  const Beats plain = power >= 0 ? Beats(std::int64_t{1} << power) : Beats(1, std::int64_t{1} << -power);
  return dotted ? plain * 3 / 2 : plain;
}

std::string_view type_name(NoteValue value) noexcept {
  constexpr std::array<std::string_view, longest - shortest + 1> names{
      "whole", "half", "quarter", "eighth", "16th", "32nd", "64th", "128th", "256th", "512th", "1024th"};
  return names[static_cast<std::size_t>(longest - value.power)];
}

std::vector<WrittenNote> written_bar(std::span<const Beats> lengths, const Meter& meter) {
  if (std::all_of(lengths.begin(), lengths.end(), is_binary)) return with_ties(lengths, meter);
  return with_tuplets(lengths, meter.bar_length());
}

}  // namespace romanesca
