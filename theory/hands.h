#pragma once

#include <vector>

#include "theory/fingering.h"
#include "theory/progression.h"
#include "theory/voicing.h"

namespace romanesca {

/// What both hands play for one chord: the chord in close position in the right, its bass in the left.
struct HandsChord {
  Voicing right;  ///< low to high; empty for N.C.
  Voicing left;
  std::vector<int> right_fingers;  ///< 1 thumb to 5, one per note
  std::vector<int> left_fingers;
  int inversion = 0;  ///< of the right hand's shape: 0 root position, 1, 2, 3; -1 where the lowest note is another tone
};

/// The hands for a whole piece, with the smallest voice leading in the right.
struct Hands {
  std::vector<HandsChord> chords;  ///< one per chord of the timeline
  int semitones = 0;               ///< that all right-hand voices move in all
};
[[nodiscard]] Hands hands_for(const Timeline& timeline);

}  // namespace romanesca
