#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>

namespace romanesca {

/// Single-letter insertions, deletions, replacements and swaps of neighbours that turn one text into the other
/// (optimal string alignment: Damerau, CACM 7/3, 1964, with the table of Wagner & Fischer, JACM 21/1, 1974).
[[nodiscard]] int edit_distance(std::string_view a, std::string_view b);

/// The name in small letters without blanks, hyphens and underscores: two names that differ in these only are one.
[[nodiscard]] std::string plain_name(std::string_view name);

/// The word nearest to @p text, ignoring case, if it is within three edits and less than half of it changes; the first
/// of several equally near.
[[nodiscard]] std::optional<std::string> nearest_word(std::string_view text, std::span<const std::string> words);

}  // namespace romanesca
