#pragma once

#include <cstdint>
#include <span>
#include <vector>

namespace romanesca {

/// Makes the sound of a plan, in memory: what the page's second module does.
struct PageSound {
  std::vector<float> left, right;
};
/// @param bytes a plan, see plan_bytes @param sample_rate_hz 8000 to 192000 @return empty for bytes that are no plan
[[nodiscard]] PageSound page_sound(std::span<const std::uint8_t> bytes, double sample_rate_hz);

}  // namespace romanesca
