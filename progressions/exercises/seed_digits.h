#pragma once

#include <cstddef>
#include <cstdint>

namespace romanesca {

/// Turns a seed into choices: the digits of the seed in a mixed radix, each rotated by the choices before it. So
/// consecutive seeds always differ in their choices until all combinations are used up, and the second choice changes
/// as often as the first.
class SeedDigits {
 public:
  /// @param salt makes the choices of different kinds of exercise differ for the same seed.
  constexpr SeedDigits(std::uint64_t seed, std::uint64_t salt) noexcept : rest_(seed), turn_(mixed(salt)) {}

  /// 0 to count - 1. @param count how many there are to choose from; 0 counts as 1.
  constexpr std::size_t pick(std::size_t count) noexcept {
    if (count < 2) return 0;
    const std::uint64_t step = rest_ % count * stride(count) + turn_ % count;
    rest_ /= count;
    const std::uint64_t digit = step % count;
    turn_ = mixed(turn_ + digit + 1);
    return static_cast<std::size_t>(digit);
  }

  /// The finisher of MurmurHash3 (Austin Appleby, public domain): spreads every bit over all of them.
  static constexpr std::uint64_t mixed(std::uint64_t bits) noexcept {
    bits ^= bits >> 33U;
    bits *= 0xff51afd7ed558ccdULL;
    bits ^= bits >> 33U;
    bits *= 0xc4ceb9fe1a85ec53ULL;
    return bits ^ (bits >> 33U);
  }

 private:
  /// A step near the golden section that is coprime to the count, so that neighbours in a list do not follow each
  /// other.
  static constexpr std::uint64_t stride(std::uint64_t count) noexcept {
    for (std::uint64_t step = count * 618 / 1000; step > 1; --step) {
      std::uint64_t a = step;
      std::uint64_t b = count;
      while (b != 0) {
        const std::uint64_t rest = a % b;
        a = b;
        b = rest;
      }
      if (a == 1) return step;
    }
    return 1;
  }

  std::uint64_t rest_;
  std::uint64_t turn_;
};

}  // namespace romanesca
