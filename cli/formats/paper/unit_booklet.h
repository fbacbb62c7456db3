#pragma once

#include <span>

#include "cli/formats/engraving/marks.h"
#include "cli/formats/paper/paper_settings.h"
#include "progressions/unit.h"

namespace romanesca {

/// A unit as one booklet: a cover with its name, for whom it is, a line for the student's name, what will have been
/// learnt, and the weeks with their pages; then the sheets, each with its week over the title. Pages are numbered
/// through.
/// @param sheets those of unit_sheets @param answers adds the answer key at the end, for the teacher
[[nodiscard]] Drawing unit_booklet(const Unit& unit, std::span<const Exercise> sheets, bool answers,
                                   const PaperSettings& paper);

}  // namespace romanesca
