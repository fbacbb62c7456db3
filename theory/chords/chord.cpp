#include "theory/chords/chord.h"

#include <algorithm>

#include "theory/chords/chord_suffix.h"

namespace romanesca {

ShortList<PitchClass, most_tones> Chord::tones() const noexcept {
  ShortList<PitchClass, most_tones> result;
  for (const Interval tone : type.tones()) result.push_back(root + tone);
  return result;
}

std::optional<int> Chord::inversion() const noexcept {
  if (bass == root && type.has(intervals::unison)) return 0;
  const auto all = tones();
  const auto found = std::find_if(all.begin(), all.end(), [&](PitchClass tone) { return tone.sounds_like(bass); });
  if (found == all.end()) return std::nullopt;
  return static_cast<int>(found - all.begin());
}

std::string to_string(const Chord& chord) {
  std::string text = to_string(chord.root) + write_chord_suffix(chord.type);
  if (chord.bass != chord.root) text += "/" + to_string(chord.bass);
  return text;
}

std::optional<Chord> parse_chord(std::string_view text) {
  const auto root = read_pitch_class(text);
  if (!root) return std::nullopt;
  std::string_view suffix = text.substr(root->length);
  Chord chord{root->name, {}, root->name};
  if (const std::size_t slash = suffix.rfind('/'); slash != std::string_view::npos) {
    if (const auto bass = parse_pitch_class(suffix.substr(slash + 1))) {
      chord.bass = *bass;
      suffix = suffix.substr(0, slash);
    }
  }
  const auto type = parse_chord_suffix(suffix);
  if (!type) return std::nullopt;
  chord.type = *type;
  return chord;
}

}  // namespace romanesca
