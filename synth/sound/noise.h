#pragma once

#include <cstdint>

namespace romanesca {

/// Another number for every seed, all of whose bits depend on all of the seed's (the last step of MurmurHash3, A.
/// Appleby, public domain). Noise from seeds that differ in a few bits begins alike; from mixed ones it does not.
[[nodiscard]] constexpr std::uint32_t mixed_seed(std::uint32_t seed) noexcept {
  seed ^= seed >> 16U;
  seed *= 0x85EBCA6BU;
  seed ^= seed >> 13U;
  seed *= 0xC2B2AE35U;
  return seed ^ seed >> 16U;
}

/// White noise from a seed: the same seed gives the same noise on every machine. Values from -1 to 1, uniformly
/// distributed (xorshift32: Marsaglia, "Xorshift RNGs", Journal of Statistical Software 8/14, 2003).
class Noise {
 public:
  /// @param seed any number; 0 counts as another one.
  explicit Noise(std::uint32_t seed = 1) noexcept : state_(seed != 0 ? seed : 0x9E3779B9U) {}

  [[nodiscard]] float next() noexcept {
    state_ ^= state_ << 13U;
    state_ ^= state_ >> 17U;
    state_ ^= state_ << 5U;
    return static_cast<float>(static_cast<std::int32_t>(state_)) * (1.0f / 2147483648.0f);
  }

 private:
  std::uint32_t state_;
};

}  // namespace romanesca
