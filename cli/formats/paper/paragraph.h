#pragma once

#include <string>
#include <vector>

#include "cli/formats/paper/marks.h"

namespace romanesca {

/// A text broken between words into lines no wider than @p width points; a longer word stands alone.
[[nodiscard]] std::vector<std::string> lines_within(const std::string& text, double width, double size, Weight weight);

}  // namespace romanesca
