#pragma once

#include <optional>
#include <string>
#include <vector>

#include "cli/commands/command_table.h"
#include "cli/console.h"

namespace romanesca {

// Scripts that let a shell complete commands, options and their values with the Tab key. They hold the commands and
// options; patterns, styles, exercises and students are asked from the program when Tab is pressed.

[[nodiscard]] std::string bash_completion(const std::vector<CommandDescription>& commands);
[[nodiscard]] std::string zsh_completion(const std::vector<CommandDescription>& commands);
[[nodiscard]] std::string fish_completion(const std::vector<CommandDescription>& commands);

/// What the Tab key may offer where a value is typed.
struct CompletionWords {
  bool files = false;
  bool folders = false;
  std::string list{};                ///< one of those of words_of_list, or empty
  std::vector<std::string> words{};  ///< fixed ones
};

[[nodiscard]] CompletionWords completion_words(const OptionDescription& option);

/// The words of a list as they are now: "commands", "progressions", "styles" (with the teacher's own), "exercises",
/// "students" (none before there is a record). Nothing for a list that does not exist.
[[nodiscard]] std::optional<std::vector<std::string>> words_of_list(const std::string& list, const Console& console);

}  // namespace romanesca
