#pragma once

#include <array>
#include <cstddef>
#include <vector>

#include "synth/sound/sample_block.h"

namespace romanesca {

/// Keeps peaks under a ceiling without a click: it looks ahead, lowers the gain in time, lets it rise slowly. Peaks
/// between the samples are estimated at the half-way points by an eight-point interpolation (windowed sinc; how true
/// peaks arise: ITU-R BS.1770-4, annex 2). Gain below 1 reaches the peak exactly: the smoothed gain is a mean of gains
/// none of which would let it through.
class Limiter {
 public:
  /// @param sample_rate_hz 8000 to 192000 @param ceiling linear, 0.01 to 1
  Limiter(double sample_rate_hz, float ceiling);

  /// In place; the sound comes out delay() frames late. Any number of frames.
  void process(StereoBlock block) noexcept;
  [[nodiscard]] std::size_t delay() const noexcept { return window_ + interpolation_delay; }
  /// The lowest gain so far, linear: 1 if it never had to act.
  [[nodiscard]] float lowest_gain() const noexcept { return lowest_gain_; }

 private:
  static constexpr std::size_t taps = 8;
  static constexpr std::size_t interpolation_delay = taps / 2;

  float peak_of(float left, float right) noexcept;
  float windowed_minimum(float gain) noexcept;

  float ceiling_;
  std::size_t window_;
  float release_keep_;
  std::vector<float> left_, right_;  ///< delayed sound
  std::size_t at_ = 0;
  std::array<float, taps> recent_left_{}, recent_right_{};
  // A queue of rising gains with the frames they belong to: its front is the minimum of the window.
  std::vector<float> queue_gain_;
  std::vector<std::size_t> queue_frame_;
  std::size_t queue_front_ = 0, queue_back_ = 0;
  std::vector<float> smooth_;  ///< the last window of gains, for their mean
  std::size_t smooth_at_ = 0;
  double smooth_sum_;
  std::size_t frame_ = 0;
  float held_ = 1;
  float lowest_gain_ = 1;
};

}  // namespace romanesca
