#pragma once

#include <string>

#include "progressions/exercise.h"

namespace romanesca {

/// The notes of an exercise as a MusicXML 4.0 score (score-partwise) for a notation program, one staff: its rhythm on
/// one pitch, its given melody and its models with the chord symbols of their bars, and the empty bars to write in,
/// each under its name and after a double bar line. @param answers with the models that are answers
/// @return empty where the exercise has none of these
[[nodiscard]] std::string exercise_musicxml(const Exercise& exercise, bool answers);

}  // namespace romanesca
