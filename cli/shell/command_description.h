#pragma once

#include <string>
#include <vector>

#include "cli/console.h"

namespace romanesca {

/// An option or a word of a command, as its definition has it.
struct OptionDescription {
  std::string name;   ///< "--key"; "progression" for a word without dashes
  std::string also;   ///< a short form like "-h", or empty
  std::string value;  ///< what stands for the value, like "KEY"; empty for a switch
  std::string says;   ///< one sentence
  bool required = false;
  bool repeats = false;  ///< may be given several times
  [[nodiscard]] bool is_word() const { return !name.starts_with('-'); }
};

/// A command, or an action of one: what --help tells about it, for pages and completions. Hidden options are left out.
struct CommandDescription {
  std::string name;
  std::string also;                        ///< a second spelling, or empty
  std::string says;                        ///< one line
  std::string examples;                    ///< lines
  std::vector<OptionDescription> options;  ///< the words without dashes first
  std::vector<CommandDescription> actions;
};

/// All commands of the table, read from the definitions that also parse the command line.
[[nodiscard]] std::vector<CommandDescription> describe_commands(Console& console);

}  // namespace romanesca
