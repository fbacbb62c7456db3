#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "synth/sound/performance.h"

namespace romanesca {

/// What is to be sounded, as bytes: the page's two modules, the one that knows music and the one that makes sound, have
/// no memory in common. All numbers are 32-bit, least significant byte first.
struct SoundPlan {
  Performance performance;
  bool loop = true;
  float loudness_lufs = -16;  ///< 0 for single notes, which keep the instrument's own level
};

[[nodiscard]] std::vector<std::uint8_t> plan_bytes(const SoundPlan& plan);
/// Nothing for bytes that are no plan.
[[nodiscard]] std::optional<SoundPlan> read_plan(std::span<const std::uint8_t> bytes);

}  // namespace romanesca
