#pragma once

#include <cstddef>
#include <vector>

#include "theory/harmony/tune_spans.h"
#include "theory/notes/meter_map.h"
#include "theory/tunes/tune.h"

namespace romanesca {

/// Two bars of a tune that come back note for note: for each time they are sung the index of their first span.
struct TuneRepeat {
  std::vector<std::size_t> first_spans;  ///< in order, two or more
  std::size_t spans = 0;                 ///< that each of them has
};

/// The pairs of bars, from an odd bar on, that a tune sings more than once in the same meter. Pairs of rests are none.
/// @param spans of the tune
[[nodiscard]] std::vector<TuneRepeat> find_tune_repeats(const Tune& tune, const MeterMap& meters,
                                                        const std::vector<TuneSpan>& spans);

}  // namespace romanesca
