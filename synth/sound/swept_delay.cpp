#include "synth/sound/swept_delay.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "synth/sound/deterministic_math.h"
#include "synth/sound/sample_block.h"

namespace romanesca {
namespace {

struct Line {
  float excess, excess_step;  ///< of the delay over a whole number, -1 to 2
  float level, level_step;
  float dry;
};

/// Linear interpolation by the three samples around. @param past from two frames earlier than the whole delay says
ROMANESCA_VECTOR_CLONES
// cppcheck-suppress passedByValue; so that nothing in the loop can change it
void mix_in(const float* __restrict past, const Line line, float* __restrict out) {
  for (int i = 0; i < static_cast<int>(block_frames); ++i) {
    const auto n = static_cast<float>(i);
    const float excess = line.excess + line.excess_step * n;
    const float w0 = 1.0f - std::abs(excess);
    const float w1 = 1.0f - std::abs(excess - 1.0f);
    const float w2 = 1.0f - std::abs(excess - 2.0f);
    const float wet = (w0 > 0.0f ? w0 : 0.0f) * past[i + 2] + (w1 > 0.0f ? w1 : 0.0f) * past[i + 1] +
                      (w2 > 0.0f ? w2 : 0.0f) * past[i];
    out[i] = out[i] * line.dry + wet * (line.level + line.level_step * n);
  }
}

std::size_t longest_delay(const Sweep& sweep, double sample_rate_hz) {
  return static_cast<std::size_t>((sweep.delay_s + sweep.depth_s) * sample_rate_hz) + 4;
}

}  // namespace

SweptDelay::SweptDelay(const Sweep& sweep, double sample_rate_hz, std::int64_t period_frames)
    : sweep_(sweep),
      delay_frames_(sweep.delay_s * sample_rate_hz),
      depth_frames_(sweep.depth_s * sample_rate_hz),
      longest_(longest_delay(sweep, sample_rate_hz)),
      past_(longest_),
      quiet_frames_(longest_ + 1) {
  double cycles_per_frame = sweep.cycle_hz / sample_rate_hz;
  if (period_frames > 0) {
    const auto period = static_cast<double>(period_frames);
    cycles_per_frame = std::max(1.0, std::floor(cycles_per_frame * period + 0.5)) / period;
  }
  cycles_per_block_ = cycles_per_frame * static_cast<double>(block_frames);
  now_ = {side_at(0), side_at(sweep.phase_offset)};
}

SweptDelay::Side SweptDelay::side_at(double phase) const noexcept {
  const Rotation cycle = rotation_of(phase);
  return {delay_frames_ + depth_frames_ * cycle.sine,
          sweep_.wet * (1 - sweep_.tremolo * (0.5f + 0.5f * static_cast<float>(cycle.cosine)))};
}

void SweptDelay::process(float* left, float* right) noexcept {
  float* sum = past_.next();
  for (std::size_t i = 0; i < block_frames; ++i) sum[i] = 0.5f * (left[i] + right[i]);
  quiet_frames_ =
      absolute_peak(sum, block_frames) == 0 ? std::min(quiet_frames_ + block_frames, 2 * longest_ + block_frames) : 0;
  past_.written();
  alignas(64) std::array<float, block_frames + 2> room;
  constexpr auto length = static_cast<double>(block_frames);
  phase_ += cycles_per_block_;
  phase_ -= std::floor(phase_);
  for (std::size_t side = 0; side < now_.size(); ++side) {
    const Side from = now_[side];
    const Side to = side_at(phase_ + (side == 1 ? sweep_.phase_offset : 0));
    now_[side] = to;
    const double whole = std::floor(std::min(from.delay, to.delay));
    const float* past = past_.read(block_frames + static_cast<std::size_t>(whole) + 2, block_frames + 2, room.data());
    mix_in(past,
           {static_cast<float>(from.delay - whole), static_cast<float>((to.delay - from.delay) / length), from.level,
            (to.level - from.level) / static_cast<float>(length), sweep_.dry},
           side == 1 ? right : left);
  }
}

}  // namespace romanesca
