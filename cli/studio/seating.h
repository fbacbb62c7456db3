#pragma once

#include "synth/arranging/arranger.h"
#include "synth/sound/performance.h"

namespace romanesca {

/// An arrangement with its players, who play it so fast. A part whose instrument is not known is played on the piano.
[[nodiscard]] Performance seated(const Arrangement& arrangement, double quarters_per_minute);

}  // namespace romanesca
