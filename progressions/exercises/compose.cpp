#include "progressions/exercises/sketch.h"

namespace romanesca {

std::span<const ExerciseBuilder> compose_builders() { return {}; }

}  // namespace romanesca
