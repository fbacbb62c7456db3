#pragma once

#include "cli/web/page_request.h"
#include "progressions/exercise.h"

namespace romanesca {

/// The exercises of a request: "key", "level", "kind", "id", "seed", "choices", and "text" for a song of the student's.
/// One that was set before comes again with its id, asked key, level, seed and song.
[[nodiscard]] Parsed<std::vector<Exercise>> page_exercises(const PageRequest& request);

}  // namespace romanesca
