#pragma once

#include <vector>

#include "theory/voicing/fingering.h"
#include "theory/voicing/voicing.h"

namespace romanesca {

/// What both hands play for one chord.
struct HandsChord {
  Voicing right;  ///< low to high; empty for N.C.
  Voicing left;
  Fingers right_fingers;  ///< one per note, 1 thumb to 5; empty where no hand can
  Fingers left_fingers;
  int inversion = 0;  ///< of the right hand's shape: 0 root position, 1, 2, 3; -1 where the lowest note is another tone
  /// For each note of the right hand: the finger is there already, from the chord before, and can stay.
  std::vector<bool> stays;
};

}  // namespace romanesca
