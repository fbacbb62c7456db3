#pragma once

#include "synth/arranging/arranger.h"

namespace romanesca {

/// Puts bars of clicks before the piece, on a part "count-in": the high wood block on the first beat of each bar, the
/// low one on the others; compound meters count their pulses. In a pick-up bar the clicks go on until it begins to
/// sound. @param bars 0 leaves the piece as it is.
[[nodiscard]] Arrangement with_count_in(Arrangement arrangement, const Score& score, int bars);

/// Clicks on every pulse of the piece, on a part "click".
[[nodiscard]] Arrangement with_click(Arrangement arrangement, const Score& score);

}  // namespace romanesca
