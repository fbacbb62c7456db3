#pragma once

#include <string>
#include <vector>

#include "cli/shell/command_description.h"

namespace romanesca {

// Scripts that let a shell complete commands, options and their values with the Tab key. They hold the commands and
// options; patterns, styles, exercises and students are asked from the program when Tab is pressed.

[[nodiscard]] std::string bash_completion(const std::vector<CommandDescription>& commands);
[[nodiscard]] std::string zsh_completion(const std::vector<CommandDescription>& commands);
[[nodiscard]] std::string fish_completion(const std::vector<CommandDescription>& commands);

}  // namespace romanesca
