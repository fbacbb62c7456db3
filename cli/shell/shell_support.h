#pragma once

#include <string>
#include <vector>

#include "cli/console.h"

namespace romanesca {

/// Handles the options for packages and shells, which --help does not list:
///
///     romanesca --man [COMMAND]             the manual page, for man(1)
///     romanesca --completion bash|zsh|fish  the script for the Tab key
///     romanesca --words LIST                words for that script: commands, styles, progressions, exercises, students
///
/// @return false if the first argument is none of these. Throws Failure for a wrong word.
bool answer_shell(const std::vector<std::string>& arguments, Console& console);

}  // namespace romanesca
