#pragma once

#include <array>
#include <atomic>
#include <cstdint>

namespace romanesca {

/// Statistics of lateness, counted on one thread and read on another.
class TimingStats {
 public:
  /// More than this counts as late: half of what listeners notice between two onsets in the easiest case (about
  /// 5 to 10 ms; from memory).
  static constexpr std::int64_t late_ns = 3'000'000;

  /// @param ns 0 or more; less counts as 0. Neither locks nor allocates.
  void add(std::int64_t ns) noexcept;

  struct Summary {
    std::uint64_t events = 0, late = 0;
    double p50_ms = 0, p99_ms = 0;  ///< to within 6 %
    double max_ms = 0;
  };
  [[nodiscard]] Summary summary() const noexcept;

 private:
  static constexpr int steps_per_octave = 12, octaves = 36;  // from a nanosecond to a minute
  std::array<std::atomic<std::uint32_t>, static_cast<std::size_t>(steps_per_octave* octaves)> counts_{};
  std::atomic<std::uint64_t> late_{0};
  std::atomic<std::int64_t> max_{0};
};

}  // namespace romanesca
