#pragma once

#include <optional>
#include <string>

#include "cli/console.h"

namespace romanesca {

/// Gives the answer: to the file if one was asked for, else to standard output. Throws Failure if either refuses.
void write_output(const std::string& text, const std::optional<std::string>& file, Console& console);

}  // namespace romanesca
