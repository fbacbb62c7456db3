#include "theory/tunes/written_pitch.h"

#include <cstddef>

namespace romanesca {

int BarAccidentals::of_signature(int letter) const {
  const int place = PitchClass::of(letter, 0).fifths() + 1;  // 0 for F to 6 for B: the order of sharps
  if (place < signature_) return 1;
  return 6 - place < -signature_ ? -1 : 0;
}

Pitch BarAccidentals::read(int letter, int octave, std::optional<int> accidental) {
  std::optional<int>& here = in_bar_[static_cast<std::size_t>(letter)];
  if (accidental) here = accidental;
  return {PitchClass::of(letter, here.value_or(of_signature(letter))), octave};
}

std::string BarAccidentals::write(Pitch pitch) {
  const int letter = pitch.name().letter();
  const int alteration = pitch.name().alteration();
  std::optional<int>& here = in_bar_[static_cast<std::size_t>(letter)];
  std::string text;
  if (alteration != of_signature(letter) || (here && *here != alteration)) {
    text =
        alteration == 0 ? "=" : std::string(static_cast<std::size_t>(std::abs(alteration)), alteration > 0 ? '^' : '_');
    here = alteration;
  }
  const bool high = pitch.octave() > 4;
  text += (high ? "cdefgab" : "CDEFGAB")[letter];
  for (int octave = pitch.octave(); octave > 5; --octave) text += '\'';
  for (int octave = pitch.octave(); octave < 4; ++octave) text += ',';
  return text;
}

}  // namespace romanesca
