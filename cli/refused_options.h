#pragma once

#include <string>
#include <vector>

#include "cli/option_parser.h"

namespace romanesca {

/// Says in our words what the option parser refused: throws Failure (wrong_input). What the parser's own message says
/// has no part in it.
/// @param whole the command's parser, after it has thrown the error @param command its name @param arguments those that
/// it was given
[[noreturn]] void refuse_options(const CLI::ParseError& error, CLI::App& whole, const std::string& command,
                                 const std::vector<std::string>& arguments);

/// Throws Failure for an option with an empty value where that has no meaning: it would count as not given.
void check_values(const CLI::App& app);

/// For an option whose variable is 0 where it is not given: 0 itself is refused with its range.
void refuse_zero(CLI::Option* option, const std::string& range);

/// For an option whose variable is an unsigned number of 64 bits: the parser takes a negative or larger one for
/// another.
void check_seed(CLI::Option* option);

}  // namespace romanesca
