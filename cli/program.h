#pragma once

#include <string>
#include <vector>

#include "cli/console.h"
#include "theory/text/errors.h"

namespace romanesca {

/// The whole program: dispatch, help, and the one handler of errors.
/// @param arguments without the program's own name.
[[nodiscard]] ExitStatus run_program(const std::vector<std::string>& arguments, Console& console);

}  // namespace romanesca
