#pragma once

#include <vector>

#include "cli/console.h"
#include "cli/option_parser.h"

namespace romanesca {

/// All commands of the table, read from the definitions that also parse the command line.
[[nodiscard]] std::vector<CommandDescription> describe_commands(Console& console);

}  // namespace romanesca
