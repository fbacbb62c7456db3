#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace romanesca {

/// Breaks a sentence between words so that no line is longer than @p width columns (a longer word stays whole).
/// @param first stands before the first line, blanks of the same width before the others. Ends in a line break.
[[nodiscard]] std::string wrapped(std::string_view first, std::string_view text, int width);

/// The text with blanks behind it up to that many columns; a longer one stays as it is.
[[nodiscard]] std::string padded(const std::string& text, std::size_t width);

}  // namespace romanesca
