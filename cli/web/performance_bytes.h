#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "synth/sound/performance.h"

namespace romanesca {

/// A performance as numbers, to be handed from the module that arranges to the module that sounds. 64-bit integers in
/// the machine's order: counts of parts, tempos and events, length; parts (instrument, gain in 1/1000 dB, muted);
/// tempos (place, quarters a minute in 1/1000000); events (start, length, key, velocity, part). Times are numerator and
/// denominator. Names of parts are left out.
[[nodiscard]] std::vector<std::int64_t> performance_numbers(const Performance& performance);

/// Reads them back; nothing for numbers that are none of these.
[[nodiscard]] std::optional<Performance> read_performance(std::span<const std::int64_t> numbers);

}  // namespace romanesca
