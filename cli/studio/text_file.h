#pragma once

#include <filesystem>
#include <iosfwd>
#include <string>

#include "theory/songs/progression_text.h"

namespace romanesca {

/// What stands in a stream, up to one byte more than a text may have, so that its reader can tell the length is too
/// much.
/// @param longest bytes
[[nodiscard]] std::string read_text(std::istream& in, std::size_t longest = longest_text);

/// What stands in a file. @return file_refused for a folder or a file that cannot be read, wrong_input for one that is
/// longer than a text may be
[[nodiscard]] Result<std::string> read_text_file(const std::filesystem::path& path, std::size_t longest = longest_text);

/// One line of a text without its line break; empty past its end. @param number from 1.
[[nodiscard]] std::string line_of(const std::string& text, int number);

}  // namespace romanesca
