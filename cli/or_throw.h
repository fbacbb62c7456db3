#pragma once

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

}  // namespace romanesca
