#include "theory/notes/pitch.h"

#include <charconv>
#include <cmath>

namespace romanesca {

Pitch lowest_at_or_above(PitchClass name, int midi) noexcept {
  const int below_octave = Pitch(name, 0).midi();
  const int distance = midi - below_octave;
  const int octave = distance >= 0 ? (distance + 11) / 12 : -(-distance / 12);
  return {name, octave};
}

double frequency_hz(double midi) noexcept { return 440.0 * std::exp2((midi - 69.0) / 12.0); }

std::string to_string(PitchClass name) {
  const int alteration = name.alteration();
  std::string text(1, "CDEFGAB"[name.letter()]);
  text.append(static_cast<std::size_t>(std::abs(alteration)), alteration > 0 ? '#' : 'b');
  return text;
}

std::string to_string(Pitch pitch) { return to_string(pitch.name()) + std::to_string(pitch.octave()); }

std::optional<PitchClassPrefix> read_pitch_class(std::string_view text) {
  constexpr std::string_view letters = "CDEFGAB";
  if (text.empty()) return std::nullopt;
  const std::size_t letter = letters.find(text.front());
  if (letter == std::string_view::npos) return std::nullopt;
  int alteration = 0;
  std::size_t length = 1;
  if (length < text.size() && text[length] == 'x') {
    alteration = 2;
    ++length;
  } else if (length < text.size() && (text[length] == '#' || text[length] == 'b')) {
    const char sign = text[length];
    for (; length < text.size() && length <= 3 && text[length] == sign; ++length) alteration += sign == '#' ? 1 : -1;
  }
  return PitchClassPrefix{PitchClass::of(static_cast<int>(letter), alteration), length};
}

std::optional<PitchClass> parse_pitch_class(std::string_view text) {
  const auto prefix = read_pitch_class(text);
  if (!prefix || prefix->length != text.size()) return std::nullopt;
  return prefix->name;
}

std::optional<Pitch> parse_pitch(std::string_view text) {
  const auto prefix = read_pitch_class(text);
  if (!prefix) return std::nullopt;
  int octave = 0;
  const char* end = text.data() + text.size();
  const auto [stop, error] = std::from_chars(text.data() + prefix->length, end, octave);
  if (error != std::errc{} || stop != end || octave < -1 || octave > 9) return std::nullopt;
  return Pitch{prefix->name, octave};
}

}  // namespace romanesca
