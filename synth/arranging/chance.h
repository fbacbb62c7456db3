#pragma once

#include <cstdint>

namespace romanesca {

/// Chance from a seed and a place: the same wherever and in whatever order it is asked for. The mixing is that of
/// MurmurHash3's finaliser (Appleby, public domain; from memory), over the numbers one after another.
class Chance {
 public:
  explicit Chance(std::uint32_t seed) noexcept : seed_(seed) {}

  /// 0 to limit - 1. @param limit 1 or more @param a, b what is decided
  [[nodiscard]] int below(int limit, std::uint32_t a, std::uint32_t b) const noexcept {
    return static_cast<int>(mix(mix(mix(seed_) ^ a) + b) % static_cast<std::uint32_t>(limit));
  }

 private:
  static constexpr std::uint32_t mix(std::uint32_t value) noexcept {
    value = (value ^ (value >> 16U)) * 0x85EBCA6BU;
    value = (value ^ (value >> 13U)) * 0xC2B2AE35U;
    return (value ^ (value >> 16U)) + 0x9E3779B9U;
  }
  std::uint32_t seed_;
};

}  // namespace romanesca
