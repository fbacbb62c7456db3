#pragma once

#include <string>
#include <vector>

#include "cli/commands/command_table.h"

namespace romanesca {

/// The page of the whole program, romanesca(1), in the macros of man(7). @param version like "0.9.0" @param date of its
/// release
[[nodiscard]] std::string man_page(const std::vector<CommandDescription>& commands, const std::string& version,
                                   const std::string& date);

/// The page of one command, romanesca-NAME(1), with its actions.
[[nodiscard]] std::string man_page(const CommandDescription& command, const std::string& version,
                                   const std::string& date);

}  // namespace romanesca
