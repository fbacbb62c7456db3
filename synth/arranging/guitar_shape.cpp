#include "synth/arranging/guitar_shape.h"

#include <array>

namespace romanesca {

Voicing guitar_shape(const Chord& chord) {
  constexpr std::array<int, 6> open_strings{40, 45, 50, 55, 59, 64};  // E2 A2 D3 G3 B3 E4
  constexpr int frets = 4;
  const std::vector<PitchClass> tones = right_hand_tones(chord);
  Voicing shape;
  for (const int open : open_strings) {
    if (shape.empty()) {
      const Pitch bass = lowest_at_or_above(chord.bass, open);
      if (bass.midi() <= open + frets) shape.push_back(bass);
      continue;
    }
    Pitch lowest;
    int found = open + frets + 1;
    for (const PitchClass tone : tones) {
      const Pitch candidate = lowest_at_or_above(tone, open);
      if (candidate.midi() >= found || candidate.midi() <= shape.back().midi()) continue;
      found = candidate.midi();
      lowest = candidate;
    }
    if (found <= open + frets) shape.push_back(lowest);
  }
  return shape;
}

}  // namespace romanesca
