#pragma once

#include <string>
#include <vector>

#include "cli/console.h"

namespace romanesca {

/// Answers what packages and shells ask, and --help does not list:
///
///     romanesca --man [COMMAND]             the manual page, for man(1)
///     romanesca --completion bash|zsh|fish  the script for the Tab key
///     romanesca --words LIST                words for that script: commands, styles, progressions, exercises, students
///
/// @return false if the arguments ask for none of these. Throws Failure for a word that is wrong in one.
bool answer_shell(const std::vector<std::string>& arguments, Console& console);

}  // namespace romanesca
