#include "synth/sound/compressor.h"

#include <array>
#include <cmath>

#include "synth/sound/deterministic_math.h"
#include "synth/sound/sample_block.h"

namespace romanesca {
namespace {

/// Sum of squares of both sides, in eight lanes so that every processor adds in the same order.
ROMANESCA_VECTOR_CLONES
void sum_squares(const float* __restrict left, const float* __restrict right, float* __restrict lanes) {
  for (std::size_t i = 0; i < block_frames; i += 8) {
    for (std::size_t k = 0; k < 8; ++k) lanes[k] += left[i + k] * left[i + k] + right[i + k] * right[i + k];
  }
}

ROMANESCA_VECTOR_CLONES
void ramp(float from, float step, float* __restrict left, float* __restrict right) {
  for (int i = 0; i < static_cast<int>(block_frames); ++i) {
    const float gain = from + step * static_cast<float>(i);
    left[i] *= gain;
    right[i] *= gain;
  }
}

}  // namespace

Compressor::Compressor(const Compression& compression, double sample_rate_hz) noexcept
    : compression_(compression),
      attack_coefficient_(
          time_constant_decay(compression.attack_s, sample_rate_hz / static_cast<double>(block_frames))),
      release_coefficient_(
          time_constant_decay(compression.release_s, sample_rate_hz / static_cast<double>(block_frames))) {}

void Compressor::process(float* left, float* right) noexcept {
  alignas(64) std::array<float, 8> lanes{};
  sum_squares(left, right, lanes.data());
  double sum = 0;
  for (const float lane : lanes) sum += static_cast<double>(lane);
  const double level_db = 0.5 * db_from_linear(sum / (2.0 * static_cast<double>(block_frames)));
  const double over = level_db - compression_.threshold_db;
  const double half = compression_.knee_db / 2;
  const double slope = 1 - 1 / compression_.ratio;
  double target_db = 0;
  if (over > half) {
    target_db = slope * over;
  } else if (over > -half && half > 0) {
    target_db = slope * (over + half) * (over + half) / (4 * half);
  }
  const double coefficient = target_db > reduction_db_ ? attack_coefficient_ : release_coefficient_;
  reduction_db_ = target_db + (reduction_db_ - target_db) * coefficient;
  if (reduction_db_ < 1e-6) reduction_db_ = 0;
  const float next = reduction_db_ > 0 ? static_cast<float>(linear_from_db(-reduction_db_)) : 1.0f;
  if (gain_ != 1.0f || next != 1.0f) ramp(gain_, (next - gain_) / static_cast<float>(block_frames), left, right);
  gain_ = next;
}

}  // namespace romanesca
