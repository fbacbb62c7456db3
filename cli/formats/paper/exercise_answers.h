#pragma once

#include <span>

#include "cli/formats/engraving/marks.h"
#include "cli/formats/paper/paper_settings.h"
#include "progressions/exercise.h"

namespace romanesca {

/// Adds the teacher's page: for every exercise what is right and what its chords are.
void add_answer_page(Drawing& drawing, std::span<const Exercise> exercises, const PaperSettings& paper);

}  // namespace romanesca
