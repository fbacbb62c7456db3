#include "progressions/exercises/sketch.h"

namespace romanesca {

std::span<const ExerciseBuilder> technique_builders() { return {}; }

}  // namespace romanesca
