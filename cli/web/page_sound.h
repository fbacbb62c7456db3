#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "synth/sound/bar_stream.h"

namespace romanesca {

/// The samples of a plan; rendered by the page's second module.
struct PageSound {
  std::vector<float> left, right;
};
/// A plan by itself: a piece once through until it is silent, or single notes. @param bytes a plan, see plan_bytes
/// @param sample_rate_hz 8000 to 192000 @return empty if the bytes are not a valid plan
[[nodiscard]] PageSound page_sound(std::span<const std::uint8_t> bytes, double sample_rate_hz);

/// The next bar of a stream. @param bytes the plan of a bar @param gain_db before the limiter, -60 to 30; clamped
/// @return empty if the bytes are not a valid plan: the stream is then as before
[[nodiscard]] PageSound page_bar(BarStream& stream, std::span<const std::uint8_t> bytes, double gain_db);

/// The gain in dB that brings the plan's first seconds to -16 LUFS; 0 if the bytes are not a valid plan.
[[nodiscard]] double page_gain_db(std::span<const std::uint8_t> bytes, double sample_rate_hz);

}  // namespace romanesca
