#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "theory/chords/key.h"

namespace romanesca {

/// What is wrong with a text for the record, in words that follow its name ("is not UTF-8"); nothing if it is clean:
/// UTF-8 without control characters, line breaks and signs that turn the direction of writing (Unicode classes Cc, Zl,
/// Zp and the bidirectional controls), of at most @p longest code points, without blanks at either end.
[[nodiscard]] std::optional<std::string> text_fault(std::string_view text, std::size_t longest);
/// The same for a name: 1 to 100 code points, not only digits, which would be taken for an id.
[[nodiscard]] std::optional<std::string> name_fault(std::string_view name);
inline constexpr std::size_t longest_note = 2000;  ///< code points
inline constexpr std::size_t longest_word = 60;    ///< code points of what a student likes, of an exercise's id

/// The parts between commas, trimmed, without empty ones and without repeats.
[[nodiscard]] std::vector<std::string> comma_list(std::string_view text);
/// The key, which is major where no mode is said; nothing for text that is none.
[[nodiscard]] std::optional<Key> read_key(std::string_view text);

}  // namespace romanesca
