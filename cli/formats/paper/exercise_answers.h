#pragma once

#include <span>
#include <string>

#include "cli/formats/engraving/marks.h"
#include "cli/formats/paper/paper_settings.h"
#include "progressions/exercise.h"

namespace romanesca {

/// Adds the teacher's page, or several, without their feet: for every exercise what is right and what its chords are.
/// @param names one for each, like "A"
void add_answer_page(Drawing& drawing, std::span<const Exercise> exercises, std::span<const std::string> names,
                     const PaperSettings& paper);

}  // namespace romanesca
