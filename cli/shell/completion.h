#pragma once

#include <optional>
#include <string>
#include <vector>

#include "cli/commands/command_table.h"
#include "cli/console.h"

namespace romanesca {

// Scripts with which a shell completes commands, options and their values. Commands and options are in the script; for
// patterns, styles, exercises and students it runs the program.

[[nodiscard]] std::string bash_completion(const std::vector<CommandDescription>& commands);
[[nodiscard]] std::string zsh_completion(const std::vector<CommandDescription>& commands);
[[nodiscard]] std::string fish_completion(const std::vector<CommandDescription>& commands);

/// What completion offers for the value of an option.
struct CompletionWords {
  bool files = false;
  bool folders = false;
  std::string list{};                ///< a name for words_of_list; may be empty
  std::vector<std::string> words{};  ///< fixed choices
};

[[nodiscard]] CompletionWords completion_words(const OptionDescription& option);

/// The present words of a list: "commands", "progressions", "styles" (with the teacher's own), "exercises", "students"
/// (none if there is no record yet). Empty optional for an unknown list. Throws Failure.
[[nodiscard]] std::optional<std::vector<std::string>> words_of_list(const std::string& list, const Console& console);

}  // namespace romanesca
