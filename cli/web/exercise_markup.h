#pragma once

#include <string>

#include "progressions/exercise.h"

namespace romanesca {

/// An exercise as HTML: goal, bars with a line for what is hidden, notes on a keyboard, rhythm, notes chord by chord,
/// hands, steps, advice. Escaped throughout; without the answer.
[[nodiscard]] std::string exercise_markup(const Exercise& exercise);

}  // namespace romanesca
