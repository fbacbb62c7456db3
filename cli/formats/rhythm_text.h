#pragma once

#include <span>
#include <string>
#include <vector>

#include "progressions/exercise.h"

namespace romanesca {

/// A bar of rhythm in equal steps: how each is counted, and whether a note begins there ("x"), sounds on ("-") or is
/// silent (".").
struct CountedStep {
  std::string count;  ///< "1", "&"; "e" and "a" between them; in compound meters 1 to 6
  char sign = '.';
};
[[nodiscard]] std::vector<CountedStep> counted(std::span<const RhythmNote> rhythm, const Meter& meter);

/// Two lines: the count, and the rhythm under it.
[[nodiscard]] std::string rhythm_text(std::span<const RhythmNote> rhythm, const Meter& meter, int indent);

}  // namespace romanesca
