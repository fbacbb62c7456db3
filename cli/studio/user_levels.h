#pragma once

#include <vector>

#include "cli/console.h"
#include "progressions/level.h"

namespace romanesca {

/// The levels that this teacher works with: those of levels.toml in the program's configuration folder where there is
/// such a file, else the built-in ones. Throws Failure: with the place for a file that is wrong, file_refused for one
/// that cannot be read.
[[nodiscard]] std::vector<Level> user_levels(const Console& console);

/// One of them. Throws Failure too for a number that is not 1 to 8. @param option its name, for the message.
[[nodiscard]] Level user_level(const std::string& option, int number, const Console& console);

}  // namespace romanesca
