#pragma once

#include <span>
#include <vector>

#include "cli/formats/paper/chart_drawing.h"
#include "cli/formats/paper/marks.h"
#include "progressions/exercise.h"

namespace romanesca {

/// Exercises on paper, a sheet for each: goal, bars, notes on a keyboard, the rhythm as blocks, hands with fingers, the
/// steps, what is easier and harder, what to listen for. What the student is to find is left as a line to write on.
/// @param answers adds a page with the answer key at the end, for the teacher
[[nodiscard]] Drawing exercise_drawing(std::span<const Exercise> exercises, bool answers, const PaperSettings& paper);

}  // namespace romanesca
