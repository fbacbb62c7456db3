#pragma once

#include <span>
#include <vector>

#include "cli/formats/engraving/marks.h"
#include "cli/formats/paper/paper_settings.h"
#include "progressions/exercise.h"

namespace romanesca {

/// One exercise on pages of its own, as large as fits on one page, without their feet. @param name "A"; empty for one
/// alone @param over what stands over the title; may be empty
void add_exercise_sheet(Drawing& drawing, const Exercise& exercise, const std::string& name, const std::string& over,
                        const PaperSettings& paper);

/// Exercises on paper, a sheet for each: the goal; what the band plays, with a given melody in notes; the steps with
/// their rhythm in notes and counts, and their notes on keys, beside them; hands with fingers; lines or staves to write
/// on; what is easier and harder, what to listen for.
/// @param answers adds a page with the answer key at the end, for the teacher
[[nodiscard]] Drawing exercise_drawing(std::span<const Exercise> exercises, bool answers, const PaperSettings& paper);

}  // namespace romanesca
