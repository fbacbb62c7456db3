#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <vector>

#include "synth/sound/interpolator.h"
#include "synth/sound/sample_block.h"

namespace romanesca {

/// A look-ahead true-peak limiter: it lowers the gain before a peak and lets it rise slowly. The gain is a mean over
/// the window of gains each of which is low enough for the peak. While nothing reaches the ceiling it only delays.
class Limiter {
 public:
  /// @param sample_rate_hz 8000 to 192000 @param ceiling linear, 0.01 to 1
  Limiter(double sample_rate_hz, float ceiling);

  /// Whole blocks, in place; the sound comes out delay frames late. @param block frames a multiple of block_frames.
  void process(StereoBlock block) noexcept;
  /// The lowest gain so far, linear: 1 if it never had to act.
  [[nodiscard]] float lowest_gain() const noexcept { return lowest_gain_; }

  static constexpr std::size_t window = 2 * block_frames;  ///< of the look-ahead: 2.7 ms at 48 kHz
  static constexpr std::size_t delay = window + Interpolator::delay;

 private:
  static constexpr std::size_t most_blocks = 16;  ///< processed before the history is moved
  static constexpr std::size_t past_frames = delay;
  static constexpr std::size_t target_past = window + 1;
  static constexpr std::size_t run_frames = most_blocks * block_frames;

  void process_run(StereoBlock run) noexcept;
  /// Looks at the block that begins at a frame of the run; @return whether any gain below 1 is needed.
  [[nodiscard]] bool find_target_gains(std::size_t at) noexcept;
  void smooth_gain(std::size_t at, float* gain) noexcept;

  float ceiling_;
  Interpolator interpolator_;
  float release_decay_;
  // The last frames of the sound, oldest first: what is delayed, and the new run behind it.
  std::array<float, past_frames + run_frames> left_{}, right_{};
  /// The gain that each frame needs, with those of the window before.
  std::array<float, target_past + run_frames> target_;
  float reduction_ = 0;  ///< 1 minus the gain, before smoothing
  /// The last window of reductions as integers, so that their sum is exact and returns to 0.
  std::array<std::int32_t, window> reductions_{};
  std::size_t reductions_at_ = 0;
  std::int64_t reduction_sum_ = 0;
  std::size_t idle_frames_ = window + block_frames;  ///< since a gain below 1 was needed
  float lowest_gain_ = 1;
};

}  // namespace romanesca
