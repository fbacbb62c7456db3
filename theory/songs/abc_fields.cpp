#include "theory/songs/abc_fields.h"

#include <array>
#include <string>
#include <utility>

#include "theory/songs/progression.h"
#include "theory/text/characters.h"

namespace romanesca {
namespace {

/// A whole number at the start of a text, which it is taken from; 100,000 for larger ones, nothing for no digit.
std::optional<int> take_number(std::string_view& text) {
  if (text.empty() || !is_digit(text.front())) return std::nullopt;
  int number = 0;
  while (!text.empty() && is_digit(text.front())) {
    number = number < 10000 ? number * 10 + (text.front() - '0') : 100000;
    text.remove_prefix(1);
  }
  return number;
}

std::optional<std::pair<int, int>> take_fraction(std::string_view& text) {
  const auto upper = take_number(text);
  if (!upper || !text.starts_with('/')) return std::nullopt;
  text.remove_prefix(1);
  const auto lower = take_number(text);
  if (!lower || *upper < 1 || *lower < 1 || *upper > 64 || *lower > 64) return std::nullopt;
  return std::pair(*upper, *lower);
}

}  // namespace

std::optional<KeyText> parse_abc_key(std::string_view text) {
  text = trimmed(text);
  const auto tonic = read_pitch_class(text);
  if (!tonic) return std::nullopt;
  text = trimmed(text.substr(tonic->length));
  const std::string word = small_letters(text.substr(0, text.find(' ')));
  // Only the first three letters of a mode count.
  constexpr std::array<std::pair<std::string_view, Mode>, 9> modes{{{"maj", Mode::major},
                                                                    {"ion", Mode::major},
                                                                    {"min", Mode::minor},
                                                                    {"aeo", Mode::minor},
                                                                    {"dor", Mode::dorian},
                                                                    {"phr", Mode::phrygian},
                                                                    {"lyd", Mode::lydian},
                                                                    {"mix", Mode::mixolydian},
                                                                    {"loc", Mode::locrian}}};
  Mode mode = word == "m" ? Mode::minor : Mode::major;
  for (const auto& [name, meant] : modes) {
    if (word.starts_with(name)) mode = meant;
  }
  if (!Key{tonic->name, mode}.can_be_written()) return std::nullopt;
  return KeyText{tonic->name, mode};
}

Beats usual_abc_unit(const ReadMeter& meter) { return meter.written_bar() < Beats(3) ? Beats(1, 4) : Beats(1, 2); }

std::optional<double> parse_abc_tempo(std::string_view text, const ReadMeter& meter) {
  text = trimmed(text);
  if (text.starts_with('"')) {
    const std::size_t close = text.find('"', 1);
    text = close == std::string_view::npos ? std::string_view() : trimmed(text.substr(close + 1));
  }
  std::string_view counted = text;
  Beats beat(1);
  if (const auto fraction = take_fraction(counted)) {
    beat = Beats(fraction->first, fraction->second) * 4;
    counted = trimmed(counted);
    if (!counted.starts_with('=')) return std::nullopt;
    counted = trimmed(counted.substr(1));
  } else {
    counted = text;
  }
  const auto number = take_number(counted);
  if (!number) return std::nullopt;
  const double bpm = *number * meter.read(beat).quarters() / meter.meter.pulse_length().quarters();
  if (bpm < slowest_bpm || bpm > fastest_bpm) return std::nullopt;
  return bpm;
}

}  // namespace romanesca
