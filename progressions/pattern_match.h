#pragma once

#include <string>
#include <vector>

#include "theory/analysis/analysis.h"

namespace romanesca {

/// A library pattern found in a piece.
struct PatternMatch {
  std::string id;                    ///< the family's
  int bar = 0;                       ///< first bar, from 1
  int bars = 0;                      ///< length of the match, whole repetitions of the pattern
  int rotation = 0;                  ///< chords by which the pattern is rotated: 0 as in the library
  std::vector<std::string> instead;  ///< usual substitutions, "ii for IV"; at most one in each repetition of a loop
};

/// Where the piece follows a pattern of three or more different chords on the tonic of its key there, a loop of
/// four in any rotation and with a usual substitution. A match begins with a bar. Patterns with a family (the
/// four-chord schemas) are also found from the relative key. Chords count by root and by minor or not; how long each
/// lasts does not matter. At each place the longest match wins, of equal ones a pattern in the piece's own mode, then
/// the least rotated, then the first of the library.
[[nodiscard]] std::vector<PatternMatch> match_patterns(const Analysis& analysis);

}  // namespace romanesca
