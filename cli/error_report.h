#pragma once

#include <string>

#include "theory/text/errors.h"

namespace romanesca {

/// Draws an error for a person: where, what, the line and a caret under the place, and the way out.
///
///     romanesca: song.txt:6:12: "Hm7" is no chord I know
///         | G | Hm7 |
///               ^^^   did you mean Bm7?
///
/// A long line is cut to the part around the place. Ends in a line break.
[[nodiscard]] std::string describe(const TextError& error);

}  // namespace romanesca
