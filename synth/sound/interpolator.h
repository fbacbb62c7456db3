#pragma once

#include <array>
#include <cstddef>

#include "synth/sound/sample_block.h"

namespace romanesca {

/// What the sound does between its samples: at a quarter, a half and three quarters of the way, by twelve taps each of
/// a sinc under a Hann window (how true peaks are found: ITU-R BS.1770-4, annex 2).
class Interpolator {
 public:
  static constexpr std::size_t taps = 12;
  /// Frames between a sample and the moment when what follows it is known.
  static constexpr std::size_t delay = taps / 2;

  Interpolator() noexcept;

  /// The highest value, at the samples and between them, for each frame of a block: of sample delay behind it and of
  /// the way to the next. @param samples a block and taps - 1 frames before it @param peaks raised where it is higher
  void raise_peaks(const float* samples, float* peaks) const noexcept;

  /// How much higher than the samples what lies between them can be, at the very most.
  [[nodiscard]] float largest_gain() const noexcept { return largest_gain_; }

 private:
  std::array<std::array<float, taps>, 2> ways_{};  ///< a quarter and half; three quarters is the quarter mirrored
  float largest_gain_ = 1;
};

}  // namespace romanesca
