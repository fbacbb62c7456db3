#pragma once

#include <span>
#include <vector>

#include "theory/chords/chord.h"
#include "theory/chords/key.h"

namespace romanesca {

/// How played notes compare with a chord, octaves and doublings apart.
struct ChordMatch {
  std::vector<PitchClass> missing;  ///< tones of the chord that are not there; a perfect fifth only of a triad
  std::vector<PitchClass> foreign;  ///< notes that are there and not in the chord, spelled for the key
  bool bass_fits = true;            ///< the lowest note is the chord's bass
  [[nodiscard]] bool complete() const { return missing.empty() && foreign.empty(); }
};

/// Chords of four and more tones may be played without their perfect fifth, which tells least (common practice, no
/// source); a bass that is not of the chord may be there or not. @param midi any order; none: all is missing
[[nodiscard]] ChordMatch match_chord(std::span<const int> midi, const Chord& chord, const Key& key);

}  // namespace romanesca
