#pragma once

#include <array>
#include <cstddef>

#include "synth/sound/sample_block.h"

namespace romanesca {

/// The signal between its samples, four times oversampled by polyphase filters of twelve taps each, a sinc under a Hann
/// window (how true peaks are found: ITU-R BS.1770-4, annex 2).
class Interpolator {
 public:
  static constexpr std::size_t taps = 12;
  /// Latency in frames: what follows a sample is known so much later.
  static constexpr std::size_t delay = taps / 2;

  Interpolator() noexcept;

  /// The highest absolute value for each frame of a block: of the sample delay frames before it, and of the signal
  /// between that and the next. @param samples a block and taps - 1 frames before it @param peaks raised where it is
  /// higher
  void raise_peaks(const float* samples, float* peaks) const noexcept;

  /// The most by which the signal between samples can exceed the samples, linear.
  [[nodiscard]] float largest_gain() const noexcept { return largest_gain_; }

 private:
  std::array<std::array<float, taps>, 2> phases_{};  ///< a quarter and a half; three quarters is the quarter mirrored
  float largest_gain_ = 1;
};

}  // namespace romanesca
