#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "synth/sound/performance.h"

namespace romanesca {

/// What to play. It passes as bytes from the page's music module to its sound module, which share no memory. All
/// numbers are 32-bit, least significant byte first.
struct SoundPlan {
  Performance performance;
  bool loop = true;
  Beats from;                ///< of a bar of a piece: where it begins; performance.length is then the length of the bar
  std::vector<KeySet> keys;  ///< of a bar: for each part the notes of the whole piece, see StreamBar
  float loudness_lufs = -16;  ///< 0 for single notes, which keep the instrument's own level
};

[[nodiscard]] std::vector<std::uint8_t> plan_bytes(const SoundPlan& plan);
/// Empty if the bytes are not a valid plan.
[[nodiscard]] std::optional<SoundPlan> read_plan(std::span<const std::uint8_t> bytes);

}  // namespace romanesca
