#pragma once

#include <vector>

#include "cli/console.h"
#include "synth/arranging/style.h"

namespace romanesca {

/// The styles that this teacher has: the built-in ones, and those of the folder styles/ in the program's configuration
/// folder, which go before built-in ones of the same name. In order of their ids. Throws Failure: with the place for a
/// file that is wrong, file_refused for one that cannot be read.
[[nodiscard]] std::vector<Style> user_styles(const Console& console);

}  // namespace romanesca
