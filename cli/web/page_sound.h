#pragma once

#include <cstdint>
#include <span>
#include <vector>

namespace romanesca {

/// The samples of a plan; rendered by the page's second module.
struct PageSound {
  std::vector<float> left, right;
};
/// @param bytes a plan, see plan_bytes @param sample_rate_hz 8000 to 192000 @return empty if the bytes are not a valid
/// plan
[[nodiscard]] PageSound page_sound(std::span<const std::uint8_t> bytes, double sample_rate_hz);

}  // namespace romanesca
