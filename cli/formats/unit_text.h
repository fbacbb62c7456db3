#pragma once

#include <span>
#include <string>

#include "progressions/unit.h"

namespace romanesca {

/// What stands before the sheets of a unit: its name, for whom it is, a line for the student's name, what will have
/// been learnt, and the weeks. @param sheets those of unit_sheets
[[nodiscard]] std::string unit_text(const Unit& unit, std::span<const Exercise> sheets, int width);

/// The unit and its sheets as a JSON object; each sheet has the number of its week. @param answers with what is right
[[nodiscard]] std::string unit_json(const Unit& unit, std::span<const Exercise> sheets, bool answers);

}  // namespace romanesca
