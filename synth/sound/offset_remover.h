#pragma once

#include <array>
#include <cmath>
#include <cstddef>

#include "synth/sound/deterministic_math.h"
#include "synth/sound/sample_block.h"

namespace romanesca {

/// Removes DC offset: struck sounds leave a little of it, which would cost headroom. The mean of each block goes
/// through a one-pole lowpass of some Hertz, whose output, linear within a block, is subtracted: a first-order highpass
/// for two operations a frame.
class OffsetRemover {
 public:
  /// @param sample_rate_hz 8000 to 192000 @param cutoff_hz 1 to 30: 3 dB down there
  OffsetRemover(double sample_rate_hz, double cutoff_hz) noexcept
      : smoothing_(static_cast<float>(1 - time_constant_decay(0.15915494309189535 / cutoff_hz,
                                                              sample_rate_hz / static_cast<double>(block_frames)))) {}

  /// One block.
  void process(float* samples) noexcept {
    std::array<float, 8> lanes{};
    for (std::size_t i = 0; i < block_frames; i += 8) {
      for (std::size_t k = 0; k < 8; ++k) lanes[k] += samples[i + k];
    }
    const float sum = ((lanes[0] + lanes[4]) + (lanes[1] + lanes[5])) + ((lanes[2] + lanes[6]) + (lanes[3] + lanes[7]));
    constexpr float share = 1.0f / static_cast<float>(block_frames);
    float next = offset_ + smoothing_ * (sum * share - offset_);
    // Below -160 dB it is silence, long before the numbers become denormal.
    if (std::abs(next) < 1e-8f) next = 0;
    const float step = (next - offset_) * share;
    for (int i = 0; i < static_cast<int>(block_frames); ++i) samples[i] -= offset_ + step * static_cast<float>(i);
    offset_ = next;
  }
  [[nodiscard]] bool silent() const noexcept { return offset_ == 0; }

 private:
  float smoothing_;
  float offset_ = 0;
};

}  // namespace romanesca
