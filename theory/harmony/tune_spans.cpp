#include "theory/harmony/tune_spans.h"

#include <algorithm>
#include <cstdlib>
#include <optional>

namespace romanesca {
namespace {

/// Weight of a note by where it begins, in per cent. Notes on strong beats are heard as belonging to the chord, the
/// others more easily as passing (Temperley, "The Cognition of Basic Musical Structures", 2001, compatibility and
/// strong beat rules; the numbers are a choice).
constexpr int on_bar_line = 150, on_half_bar = 130, on_pulse = 115, off_pulse = 100;
/// A note shorter than a pulse off the strong beats, reached and left by step: a passing or neighbouring note.
constexpr int ornamental = 40;
/// A note weighs no more than this many pulses.
constexpr int longest_pulses = 2;

/// How many pulses the first part of a bar of five has in this tune: notes that begin a part are longer than others
/// (agogic accent).
int first_part_of_five(const Tune& tune, const MeterMap& meters) {
  Beats on_third, on_fourth;
  for (const TuneNote& note : tune.notes) {
    if (note.start < Beats(0)) continue;
    const Meter meter = meters.at(meters.bar_at(note.start));
    const Beats place = meters.within_bar(note.start);
    if (meter.pulses() != 5) continue;
    if (place == meter.pulse_length() * 2) on_third += note.length;
    if (place == meter.pulse_length() * 3) on_fourth += note.length;
  }
  return on_third > on_fourth ? 2 : 3;
}

/// Where the second part of a bar begins; nothing for a bar that stays whole. @param first_of_five as above
std::optional<Beats> second_part(const Meter& meter, int first_of_five) {
  if (meter.pulses() == 5) return meter.pulse_length() * first_of_five;
  if (meter.pulses() % 2 == 0) return meter.bar_length() / 2;
  return std::nullopt;
}

int step_between(const TuneNote& a, const TuneNote& b) { return std::abs(a.pitch.midi() - b.pitch.midi()); }

/// Reached and left by a tone or a semitone.
bool is_stepwise(const Tune& tune, std::size_t i) {
  if (i == 0 || i + 1 >= tune.notes.size()) return false;
  const int before = step_between(tune.notes[i - 1], tune.notes[i]);
  const int after = step_between(tune.notes[i], tune.notes[i + 1]);
  return before >= 1 && before <= 2 && after >= 1 && after <= 2;
}

bool rises_over_bar_line(const Tune& tune, std::size_t i, const MeterMap& meters) {
  if (i + 1 >= tune.notes.size()) return false;
  const TuneNote& next = tune.notes[i + 1];
  return next.pitch.midi() == tune.notes[i].pitch.midi() + 1 && next.start >= Beats(0) &&
         meters.within_bar(next.start) == Beats(0);
}

/// In per cent.
int accent(const Tune& tune, std::size_t i, const MeterMap& meters, int first_of_five) {
  const TuneNote& note = tune.notes[i];
  if (note.start < Beats(0)) return off_pulse;
  const Meter meter = meters.at(meters.bar_at(note.start));
  const Beats place = meters.within_bar(note.start);
  if (place == Beats(0)) return on_bar_line;
  if (place == second_part(meter, first_of_five)) return on_half_bar;
  if (note.length < meter.pulse_length() && is_stepwise(tune, i)) return ornamental;
  return place == meter.pulse_length() * whole_times(place, meter.pulse_length()) ? on_pulse : off_pulse;
}

int hundredths(Beats length, const Meter& meter) {
  return static_cast<int>(whole_times(length * 100, meter.pulse_length()));
}

// cppcheck-suppress constParameter; it is added to
void add_spans(std::vector<TuneSpan>& spans, int bar, const MeterMap& meters, SpanSize size, int first_of_five) {
  const Meter meter = meters.at(bar);
  const Beats start = meters.start_of(bar);
  const std::optional<Beats> second = second_part(meter, first_of_five);
  if (size == SpanSize::bar || !second) {
    spans.push_back({.bar = bar, .start = start, .length = meter.bar_length()});
    return;
  }
  spans.push_back({.bar = bar, .start = start, .length = *second});
  spans.push_back({.bar = bar,
                   .start = start + *second,
                   .length = meter.bar_length() - *second,
                   .opens_bar = false,
                   .opens_half = true});
}

}  // namespace

int tune_bars(const Tune& tune, const MeterMap& meters) {
  if (tune.notes.empty()) return 0;
  const TuneNote& last = tune.notes.back();
  const Beats end = last.start + last.length;
  if (end <= Beats(0)) return 0;
  const int bar = meters.bar_at(end);
  const int bars = meters.within_bar(end) == Beats(0) ? bar - 1 : bar;
  return std::min(bars, longest_tune_bars);
}

std::vector<TuneSpan> tune_spans(const Tune& tune, const MeterMap& meters, SpanSize size) {
  std::vector<TuneSpan> spans;
  const int bars = tune_bars(tune, meters);
  const int first_of_five = first_part_of_five(tune, meters);
  for (int bar = 1; bar <= bars; ++bar) add_spans(spans, bar, meters, size, first_of_five);
  std::size_t first = 0;
  int added = 0;  // by the note before
  for (std::size_t i = 0; i < tune.notes.size(); ++i) {
    const TuneNote& note = tune.notes[i];
    const int weight = accent(tune, i, meters, first_of_five);
    while (first < spans.size() && spans[first].start + spans[first].length <= note.start) ++first;
    for (std::size_t s = first; s < spans.size() && spans[s].start < note.start + note.length; ++s) {
      const Beats from = std::max(spans[s].start, note.start);
      const Beats to = std::min(spans[s].start + spans[s].length, note.start + note.length);
      const int length = std::min(hundredths(to - from, meters.at(spans[s].bar)), 100 * longest_pulses);
      spans[s].stress[static_cast<std::size_t>(note.pitch.name().semitone())] += length * weight / 100;
      if (i > 0 && rises_over_bar_line(tune, i, meters)) {
        const int goal = tune.notes[i + 1].pitch.name().semitone();
        const bool held_up =
            tune.notes[i - 1].pitch.midi() == note.pitch.midi() + 1 && tune.notes[i - 1].start >= spans[s].start;
        spans[s].rises_to = goal;
        spans[s].suspended = held_up ? added : 0;
      }
      added = length * weight / 100;
    }
  }
  return spans;
}

}  // namespace romanesca
