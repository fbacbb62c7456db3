#pragma once

#include <string>

#include "cli/formats/paper/chart_drawing.h"

namespace romanesca {

/// The paper of that name, "a4" or "letter". Throws Failure (wrong_input) for another word.
[[nodiscard]] PaperSettings paper_named(const std::string& name);

}  // namespace romanesca
