#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace romanesca {

/// Rows of a big letter.
inline constexpr std::size_t big_rows = 5;

/// A chord's name in letters of five rows, to be read from the piano. Signs without a big form are left out.
/// @param block what a dot is drawn with, one column wide: a full block, or # where the terminal has none
/// @return five rows of equal width in columns
[[nodiscard]] std::vector<std::string> big_letters(std::string_view text, std::string_view block);
/// Its width in columns.
[[nodiscard]] std::size_t big_width(std::string_view text);

}  // namespace romanesca
