#pragma once

#include <array>
#include <span>

#include "theory/chords/key.h"

namespace romanesca {

/// How well each of the twelve tones fits a key, from C upwards for the key of C: the probe-tone ratings of Krumhansl &
/// Kessler, Psychological Review 89, 1982 (values from memory).
[[nodiscard]] std::span<const double, 12> key_profile(bool minor) noexcept;

/// Pearson correlation of twelve durations with the profile of the key on @p tonic (0 to 11); 0 where undefined.
[[nodiscard]] double profile_correlation(std::span<const double, 12> durations, int tonic, bool minor) noexcept;

}  // namespace romanesca
