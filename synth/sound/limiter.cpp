#include "synth/sound/limiter.h"

#include <algorithm>
#include <cmath>

#include "synth/sound/deterministic_math.h"
#include "synth/sound/sample_block.h"

namespace romanesca {
namespace {

constexpr double release_s = 0.09;              // time constant of the rising gain
constexpr float reduction_steps = 16777216.0f;  // of a gain reduction of 1

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

ROMANESCA_VECTOR_CLONES
void multiply(const float* __restrict in, const float* __restrict gain, float* __restrict out) {
  for (std::size_t i = 0; i < block_frames; ++i) out[i] = in[i] * gain[i];
}

}  // namespace

Limiter::Limiter(double sample_rate_hz, float ceiling)
    : ceiling_(ceiling), release_decay_(static_cast<float>(time_constant_decay(release_s, sample_rate_hz))) {
  target_.fill(1);
}

void Limiter::process(StereoBlock block) noexcept {
  for (std::size_t at = 0; at < block.frames; at += run_frames) {
    const StereoBlock rest = block.from(at);
    process_run({rest.left, rest.right, std::min(rest.frames, run_frames)});
  }
}

void Limiter::process_run(StereoBlock run) noexcept {
  std::copy_n(run.left, run.frames, left_.begin() + static_cast<std::ptrdiff_t>(past_frames));
  std::copy_n(run.right, run.frames, right_.begin() + static_cast<std::ptrdiff_t>(past_frames));
  for (std::size_t at = 0; at < run.frames; at += block_frames) {
    idle_frames_ = find_target_gains(at) ? 0 : idle_frames_ + block_frames;
    if (idle_frames_ > window + block_frames && reduction_ == 0 && reduction_sum_ == 0) {
      std::copy_n(left_.begin() + static_cast<std::ptrdiff_t>(at), block_frames, run.left + at);
      std::copy_n(right_.begin() + static_cast<std::ptrdiff_t>(at), block_frames, run.right + at);
      continue;
    }
    alignas(64) std::array<float, block_frames> gain;
    smooth_gain(at, gain.data());
    multiply(left_.data() + at, gain.data(), run.left + at);
    multiply(right_.data() + at, gain.data(), run.right + at);
  }
  const auto done = static_cast<std::ptrdiff_t>(run.frames);
  std::copy_n(left_.begin() + done, past_frames, left_.begin());
  std::copy_n(right_.begin() + done, past_frames, right_.begin());
  std::copy_n(target_.begin() + done, target_past, target_.begin());
}

bool Limiter::find_target_gains(std::size_t at) noexcept {
  constexpr std::size_t context = Interpolator::taps - 1;
  const float* left = left_.data() + past_frames + at - context;
  const float* right = right_.data() + past_frames + at - context;
  float* target = target_.data() + target_past + at;
  std::fill_n(target, block_frames, 1.0f);
  const float samples =
      std::max(absolute_peak(left, context + block_frames), absolute_peak(right, context + block_frames));
  if (samples * interpolator_.largest_gain() <= ceiling_) return false;
  alignas(64) std::array<float, block_frames> peaks{};
  interpolator_.raise_peaks(left, peaks.data());
  interpolator_.raise_peaks(right, peaks.data());
  if (absolute_peak(peaks.data(), block_frames) <= ceiling_) return false;
  for (std::size_t i = 0; i < block_frames; ++i) {
    if (peaks[i] > ceiling_) target[i] = ceiling_ / peaks[i];
  }
  return true;
}

void Limiter::smooth_gain(std::size_t at, float* gain) noexcept {
  // One frame more than the mean is long: a peak between samples concerns both its neighbours.
  alignas(64) std::array<float, target_past + block_frames> lowest;
  std::copy_n(target_.begin() + static_cast<std::ptrdiff_t>(at), lowest.size(), lowest.begin());
  constexpr std::size_t power = 7;
  static_assert(window == std::size_t{1} << power);
  running_minimum(lowest.data(), lowest.size(), power);
  for (std::size_t i = 0; i < block_frames; ++i) {
    const float target = std::min(lowest[i], lowest[i + 1]);
    // Down at once (the mean makes it smooth), up slowly.
    reduction_ = std::max(1.0f - target, reduction_ * release_decay_);
    if (reduction_ < 1 / reduction_steps) reduction_ = 0;
    const std::int32_t reduction = reduction_ > 0 ? static_cast<std::int32_t>(reduction_ * reduction_steps) + 1 : 0;
    reduction_sum_ += reduction - reductions_[reductions_at_];
    reductions_[reductions_at_] = reduction;
    reductions_at_ = (reductions_at_ + 1) % window;
    gain[i] = 1.0f - static_cast<float>(reduction_sum_) * (1.0f / (reduction_steps * static_cast<float>(window)));
    lowest_gain_ = std::min(lowest_gain_, gain[i]);
  }
}

}  // namespace romanesca
