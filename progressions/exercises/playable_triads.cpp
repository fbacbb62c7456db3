#include "progressions/exercises/playable_triads.h"

namespace romanesca {

std::vector<Chord> playable_triads(const Key& key, const Level& level) {
  std::vector<Chord> palette;
  for (int degree = 1; degree <= 7; ++degree) {
    Chord chord = key.diatonic_chord(degree, 3);
    if (key.mode == Mode::minor && degree == 5) chord = Chord::on(chord.root, chord_types::major);
    const bool main = degree == 1 || degree == 4 || degree == 5;
    if (!chord.type.is_diminished() && (main || (level.number > 1 && level.allows(chord.type))))
      palette.push_back(chord);
  }
  return palette;
}

}  // namespace romanesca
