#pragma once

#include <array>
#include <cstddef>
#include <cstdint>

#include "synth/sound/block_ring.h"

namespace romanesca {

/// How a delay is modulated by a low-frequency sine.
struct Sweep {
  double cycle_hz = 0.5;       ///< 0.05 to 10
  double delay_s = 0.008;      ///< on average, 0 to 0.03
  double depth_s = 0.002;      ///< of the modulation, up to delay_s; depth times cycle at most 0.0035
  double phase_offset = 0.25;  ///< of the right side to the left, in cycles
  float dry = 0.7f, wet = 0.7f;
  float tremolo = 0;  ///< how far the level of the wet sound falls and rises, 0 to 1
};

/// Chorus, rotary speaker or the fans of a vibraphone: a delay modulated by a slow sine, with tremolo. Linear within a
/// block, linear interpolation between samples.
class SweptDelay {
 public:
  /// @param sample_rate_hz 8000 to 192000 @param period_frames if not 0, the rate is moved to the nearest that has
  /// whole cycles in it, so that a loop of that length has no seam.
  SweptDelay(const Sweep& sweep, double sample_rate_hz, std::int64_t period_frames);

  /// One block, in place. The dry signal stays stereo; the wet signal is made from the sum of both sides.
  void process(float* left, float* right) noexcept;
  /// The tail has ended.
  [[nodiscard]] bool silent() const noexcept { return quiet_frames_ > longest_; }

 private:
  struct Side {
    double delay = 0;  ///< frames
    float level = 1;
  };
  [[nodiscard]] Side side_at(double phase) const noexcept;

  Sweep sweep_;
  double delay_frames_, depth_frames_;
  double cycles_per_block_;
  double phase_ = 0;
  std::array<Side, 2> now_;  ///< left and right at the start of the block
  std::size_t longest_;
  BlockRing past_;
  std::size_t quiet_frames_;
};

}  // namespace romanesca
