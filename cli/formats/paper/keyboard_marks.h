#pragma once

#include <vector>

#include "cli/formats/paper/marks.h"
#include "theory/voicing/hands.h"

namespace romanesca {

/// Adds a piece of keyboard with both hands on it: the right hand's notes as dark discs, the left hand's as light
/// squares, each with its finger. It reaches a white key further than the notes and begins and ends between groups.
/// @param area where it may stand; its keys are as wide as fits, at most 14 points
/// @return the box it fills
Box add_keyboard(std::vector<Mark>& marks, const Box& area, const HandsChord& chord);

/// The same discs and squares with their meaning, in one line. @return the width.
double add_hands_legend(std::vector<Mark>& marks, double x, double baseline, double size);

}  // namespace romanesca
