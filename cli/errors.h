#pragma once

#include <string>
#include <utility>

#include "theory/text/errors.h"

namespace romanesca {

// From the results of the studio to the exception that a command ends with.

/// The value. Throws the error as Failure.
template <typename T, typename Error>
[[nodiscard]] T value_or_throw(Result<T, Error> result) {
  if (!result) throw Failure(std::move(result.error()));
  return *std::move(result);
}

/// Throws the error, if there is one.
inline void or_throw(const Status& result) {
  if (!result) throw Failure(result.error());
}

/// Formats an error for a person: the place, what is wrong, the line with a caret under the place, and the hint.
///
///     romanesca: song.txt:6:12: unknown chord "Hm7"
///         | G | Hm7 |
///               ^^^   did you mean Bm7?
///
/// A long line is cut to the part around the place. Ends in a line break.
[[nodiscard]] std::string describe(const TextError& error);

}  // namespace romanesca
