#pragma once

#include <array>
#include <cstddef>
#include <cstdint>

#include "synth/sound/block_ring.h"

namespace romanesca {

/// How a delay is swept. Left and right are swept a part of the cycle apart.
struct Sweep {
  double cycle_hz = 0.5;   ///< 0.05 to 10
  double delay_s = 0.008;  ///< in the middle, 0 to 0.03
  double depth_s = 0.002;  ///< either way, up to delay_s; depth times cycle at most 0.0035
  double apart = 0.25;     ///< right behind left, in cycles
  float dry = 0.7f, wet = 0.7f;
  float tremolo = 0;  ///< how far the level of the wet sound falls and rises, 0 to 1
};

/// A chorus of two, a loudspeaker that turns, or fans before one: a delay whose length a slow sine moves, with the
/// level moved along. Straight lines within a block, linear interpolation between samples.
class SweptDelay {
 public:
  /// @param sample_rate_hz 8000 to 192000 @param period_frames if not 0, the cycle is moved to the nearest that fits
  /// it a whole number of times, so that a loop of that length has no seam.
  SweptDelay(const Sweep& sweep, double sample_rate_hz, std::int64_t period_frames);

  /// One block, in place. The place within the stereo field is kept for what is dry; what is wet is made from the sum.
  void process(float* left, float* right) noexcept;
  /// Nothing is left of what came in.
  [[nodiscard]] bool silent() const noexcept { return quiet_frames_ > longest_; }

 private:
  struct Side {
    double delay = 0;  ///< frames
    float level = 1;
  };
  [[nodiscard]] Side side_at(double phase) const noexcept;

  Sweep sweep_;
  double delay_frames_, depth_frames_;
  double cycles_per_slice_;
  double phase_ = 0;
  std::array<Side, 2> now_;  ///< left and right at the start of the block
  std::size_t longest_;
  BlockRing past_;
  std::size_t quiet_frames_;
};

}  // namespace romanesca
