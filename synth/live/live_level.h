#pragma once

#include "synth/sound/performance.h"

namespace romanesca {

/// The gain in dB, before the limiter, that makes a performance as loud as asked for: found by rendering its first half
/// minute. 0 for a silent one. @param loudness_lufs integrated, -40 to -8
[[nodiscard]] double live_gain_db(const Performance& performance, double sample_rate_hz, double loudness_lufs);

}  // namespace romanesca
