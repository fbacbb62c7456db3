#pragma once

#include <string>
#include <string_view>

namespace romanesca {

/// Breaks a sentence between words so that no line is longer than @p width columns (a longer word stays whole).
/// @param first stands before the first line, blanks of the same width before the others. Ends in a line break.
[[nodiscard]] std::string wrapped(std::string_view first, std::string_view text, int width);

}  // namespace romanesca
