#include "synth/sound/limiter.h"

#include <algorithm>
#include <cmath>

#include "synth/sound/elementary.h"
#include "synth/sound/vector_clones.h"

namespace romanesca {
namespace {

constexpr double release_s = 0.09;         // time constant of the gain's way back up
constexpr float lack_steps = 16777216.0f;  // of a whole

float loudest(const float* samples, std::size_t count) {
  float highest = 0;
  for (std::size_t i = 0; i < count; ++i) highest = std::max(highest, std::abs(samples[i]));
  return highest;
}

/// Minimum over each run of 2^power values, by doubling.
ROMANESCA_VECTOR_CLONES
void running_minimum(float* __restrict values, std::size_t count, std::size_t power) {
  for (std::size_t step = 1; power > 0; step *= 2, --power) {
    count -= step;
    for (std::size_t i = 0; i < count; ++i) {
      const float a = values[i];
      const float b = values[i + step];
      values[i] = a < b ? a : b;
    }
  }
}

}  // namespace

Limiter::Limiter(double sample_rate_hz, float ceiling)
    : ceiling_(ceiling), release_keep_(static_cast<float>(keep_of_time_constant(release_s, sample_rate_hz))) {
  wanted_.fill(1);
  gain_.fill(1);
}

void Limiter::process(StereoBlock block) noexcept {
  for (std::size_t at = 0; at < block.frames; at += slice_frames) process_slice(block.left + at, block.right + at);
}

bool Limiter::find_wanted_gains() noexcept {
  constexpr std::size_t context = Interpolator::taps - 1;
  const float* left = left_.data() + past_frames - context;
  const float* right = right_.data() + past_frames - context;
  float* wanted = wanted_.data() + wanted_past;
  std::fill_n(wanted, slice_frames, 1.0f);
  const float samples = std::max(loudest(left, context + slice_frames), loudest(right, context + slice_frames));
  if (samples * interpolator_.largest_gain() <= ceiling_) return false;
  alignas(64) std::array<float, slice_frames> peaks{};
  interpolator_.raise_peaks(left, peaks.data());
  interpolator_.raise_peaks(right, peaks.data());
  bool any = false;
  for (std::size_t i = 0; i < slice_frames; ++i) {
    if (peaks[i] <= ceiling_) continue;
    wanted[i] = ceiling_ / peaks[i];
    any = true;
  }
  return any;
}

void Limiter::move_gain() noexcept {
  // One frame more than the mean is long: a peak between samples concerns both its neighbours.
  alignas(64) auto lowest = wanted_;
  constexpr std::size_t power = 7;
  static_assert(window == std::size_t{1} << power);
  running_minimum(lowest.data(), lowest.size(), power);
  for (std::size_t i = 0; i < slice_frames; ++i) {
    const float wanted = std::min(lowest[i], lowest[i + 1]);
    // Down at once (the mean makes it smooth), up slowly.
    lack_ = std::max(1.0f - wanted, lack_ * release_keep_);
    if (lack_ < 1 / lack_steps) lack_ = 0;
    const std::int32_t lack = lack_ > 0 ? static_cast<std::int32_t>(lack_ * lack_steps) + 1 : 0;
    lack_sum_ += lack - lacks_[lacks_at_];
    lacks_[lacks_at_] = lack;
    lacks_at_ = (lacks_at_ + 1) % window;
    gain_[i] = 1.0f - static_cast<float>(lack_sum_) * (1.0f / (lack_steps * static_cast<float>(window)));
    lowest_gain_ = std::min(lowest_gain_, gain_[i]);
  }
}

void Limiter::process_slice(float* left, float* right) noexcept {
  std::copy_n(left, slice_frames, left_.begin() + static_cast<std::ptrdiff_t>(past_frames));
  std::copy_n(right, slice_frames, right_.begin() + static_cast<std::ptrdiff_t>(past_frames));
  idle_frames_ = find_wanted_gains() ? 0 : idle_frames_ + slice_frames;
  const bool idle = idle_frames_ > window + slice_frames && lack_ == 0 && lack_sum_ == 0;
  if (idle) {
    std::copy_n(left_.begin(), slice_frames, left);
    std::copy_n(right_.begin(), slice_frames, right);
  } else {
    move_gain();
    for (std::size_t i = 0; i < slice_frames; ++i) {
      left[i] = left_[i] * gain_[i];
      right[i] = right_[i] * gain_[i];
    }
  }
  std::copy(left_.begin() + static_cast<std::ptrdiff_t>(slice_frames), left_.end(), left_.begin());
  std::copy(right_.begin() + static_cast<std::ptrdiff_t>(slice_frames), right_.end(), right_.begin());
  std::copy(wanted_.begin() + static_cast<std::ptrdiff_t>(slice_frames), wanted_.end(), wanted_.begin());
}

}  // namespace romanesca
