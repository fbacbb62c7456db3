#include "synth/sound/limiter.h"

#include <algorithm>
#include <cmath>

namespace romanesca {
namespace {

// Half-way interpolation: sinc at +-0.5, 1.5, 2.5, 3.5 samples under a raised-cosine window, made to sum to one.
constexpr std::array<float, 8> halfway{-0.0035f, 0.0392f, -0.1463f, 0.6105f, 0.6105f, -0.1463f, 0.0392f, -0.0035f};
constexpr double look_ahead_s = 0.0015;
constexpr double release_s = 0.09;  // time constant of the gain's way back up

}  // namespace

Limiter::Limiter(double sample_rate_hz, float ceiling)
    : ceiling_(ceiling),
      window_(static_cast<std::size_t>(std::max(8.0, look_ahead_s * sample_rate_hz))),
      release_keep_(static_cast<float>(std::exp(-1.0 / (release_s * sample_rate_hz)))),
      left_(window_ + interpolation_delay, 0.0f),
      right_(window_ + interpolation_delay, 0.0f),
      queue_gain_(window_ + 4),
      queue_frame_(window_ + 4),
      smooth_(window_, 1.0f),
      smooth_sum_(static_cast<double>(window_)) {}

float Limiter::peak_of(float left, float right) noexcept {
  std::move(recent_left_.begin() + 1, recent_left_.end(), recent_left_.begin());
  std::move(recent_right_.begin() + 1, recent_right_.end(), recent_right_.begin());
  recent_left_.back() = left;
  recent_right_.back() = right;
  constexpr std::size_t middle = taps / 2 - 1;
  const float at_samples = std::max({std::abs(recent_left_[middle]), std::abs(recent_left_[middle + 1]),
                                     std::abs(recent_right_[middle]), std::abs(recent_right_[middle + 1])});
  // Between two samples the sound cannot be so much higher that half the ceiling would reach it in music.
  if (at_samples < 0.5f * ceiling_) return at_samples;
  float between_left = 0;
  float between_right = 0;
  for (std::size_t k = 0; k < taps; ++k) {
    between_left += halfway[k] * recent_left_[k];
    between_right += halfway[k] * recent_right_[k];
  }
  return std::max({at_samples, std::abs(between_left), std::abs(between_right)});
}

float Limiter::windowed_minimum(float gain) noexcept {
  const std::size_t size = queue_gain_.size();
  while (queue_front_ != queue_back_ && queue_gain_[(queue_back_ + size - 1) % size] >= gain) {
    queue_back_ = (queue_back_ + size - 1) % size;
  }
  queue_gain_[queue_back_] = gain;
  queue_frame_[queue_back_] = frame_;
  queue_back_ = (queue_back_ + 1) % size;
  // Two frames more than the mean is long: a peak between samples is seen with either of its neighbours.
  if (queue_frame_[queue_front_] + window_ + 2 <= frame_) queue_front_ = (queue_front_ + 1) % size;
  return queue_gain_[queue_front_];
}

void Limiter::process(StereoBlock block) noexcept {
  for (std::size_t i = 0; i < block.frames; ++i) {
    const float peak = peak_of(block.left[i], block.right[i]);
    const float wanted = windowed_minimum(peak > ceiling_ ? ceiling_ / peak : 1.0f);
    // Down at once (the mean below makes it smooth), up slowly.
    held_ = std::min(wanted, 1.0f - (1.0f - held_) * release_keep_);
    smooth_sum_ += static_cast<double>(held_) - static_cast<double>(smooth_[smooth_at_]);
    smooth_[smooth_at_] = held_;
    smooth_at_ = smooth_at_ + 1 == window_ ? 0 : smooth_at_ + 1;
    const auto gain = static_cast<float>(smooth_sum_ / static_cast<double>(window_));
    lowest_gain_ = std::min(lowest_gain_, gain);
    std::swap(left_[at_], block.left[i]);
    std::swap(right_[at_], block.right[i]);
    at_ = at_ + 1 == left_.size() ? 0 : at_ + 1;
    block.left[i] *= gain;
    block.right[i] *= gain;
    ++frame_;
  }
}

}  // namespace romanesca
