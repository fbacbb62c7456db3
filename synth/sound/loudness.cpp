#include "synth/sound/loudness.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "synth/sound/elementary.h"

namespace romanesca {
namespace {

constexpr double absolute_gate = -70;
constexpr double bin_width = 0.02;
constexpr std::size_t bin_count = 5000;  // to +30 LUFS

double lufs_of(double energy) { return -0.691 + 0.5 * db_from_linear(energy); }

}  // namespace

// BS.1770-4 gives its two filters as coefficients at 48 kHz. They are bilinear transforms of a shelf at 1682 Hz with 4
// dB and a highpass at 38 Hz; the numbers below give the table at 48 kHz to nine digits and serve other rates.
Loudness::Loudness(double sample_rate_hz)
    : step_frames_(2 * static_cast<std::int64_t>(std::floor(sample_rate_hz / 20 + 0.5))), bins_(bin_count) {
  const auto tangent = [&](double hz) {
    const Rotation half = rotation_of(hz / sample_rate_hz / 2);
    return half.sine / half.cosine;
  };
  {
    constexpr double q = 0.7071752369554196;
    const double k = tangent(1681.974450955533);
    const double high = linear_from_db(3.999843853973347);
    const double middle = power(high, 0.4996667741545416);
    const double a0 = 1 + k / q + k * k;
    shelf_.set((high + middle * k / q + k * k) / a0, 2 * (k * k - high) / a0, (high - middle * k / q + k * k) / a0,
               2 * (k * k - 1) / a0, (1 - k / q + k * k) / a0);
  }
  {
    constexpr double q = 0.5003270373238773;
    const double k = tangent(38.13547087602444);
    const double a0 = 1 + k / q + k * k;
    highpass_.set(1, -2, 1, 2 * (k * k - 1) / a0, (1 - k / q + k * k) / a0);
  }
}

void Loudness::add(const StereoBlock& block) noexcept {
  std::size_t at = 0;
  if (odd_ && block.frames > 0) {
    std::array<float, 2> left{odd_left_, block.left[0]};
    std::array<float, 2> right{odd_right_, block.right[0]};
    weigh({left.data(), right.data(), 2});
    at = 1;
    odd_ = false;
  }
  while (at + 1 < block.frames) {
    const std::size_t even = (block.frames - at) / 2 * 2;
    const auto count = std::min(even, static_cast<std::size_t>(step_frames_ - frames_));
    weigh({block.left + at, block.right + at, count});
    at += count;
  }
  if (at < block.frames) {
    odd_ = true;
    odd_left_ = block.left[at];
    odd_right_ = block.right[at];
  }
  // Below any hearing the filters are empty, before their numbers become denormal.
  for (Stage* stage : {&shelf_, &highpass_}) {
    for (std::size_t c = 0; c < 2; ++c) {
      if (std::abs(stage->first[c]) < 1e-30) stage->first[c] = 0;
      if (std::abs(stage->second[c]) < 1e-30) stage->second[c] = 0;
    }
  }
}

/// Through both filters, and the sum of squares: left and right side by side.
void Loudness::weigh(const StereoBlock& block) noexcept {
  Stage shelf = shelf_;
  Stage highpass = highpass_;
  Sides squares = squares_;
  const auto frame = [&](std::size_t i) {
    return Sides{static_cast<double>(block.left[i]), static_cast<double>(block.right[i])};
  };
  for (std::size_t i = 0; i + 1 < block.frames; i += 2) {
    Sides first = frame(i);
    Sides second = frame(i + 1);
    shelf.step(first, second);
    highpass.step(first, second);
    squares += first * first + second * second;
  }
  shelf_ = shelf;
  highpass_ = highpass;
  squares_ = squares;
  frames_ += static_cast<std::int64_t>(block.frames);
  if (frames_ == step_frames_) end_step();
}

void Loudness::Stage::set(double b0, double b1, double b2, double a1, double a2) noexcept {
  // From y = b0 x + s1; s1 = b1 x - a1 y + s2; s2 = b2 x - a2 y (the transposed direct form), twice.
  now = b0;
  before = b1 - a1 * b0;
  back = a1;
  back_2 = a2;
  first_in_0 = (b2 - a2 * b0) - a1 * before;
  first_in_1 = before;
  first_first = a1 * a1 - a2;
  second_in_0 = -a2 * before;
  second_in_1 = b2 - a2 * b0;
  second_first = a1 * a2;
}

void Loudness::end_step() noexcept {
  last_steps_[static_cast<std::size_t>(steps_ % 4)] = (squares_[0] + squares_[1]) / static_cast<double>(step_frames_);
  ++steps_;
  frames_ = 0;
  squares_ = Sides{};
  if (steps_ < 4) return;
  const double energy = ((last_steps_[0] + last_steps_[1]) + (last_steps_[2] + last_steps_[3])) / 4;
  const double lufs = lufs_of(energy);
  if (lufs < absolute_gate) return;
  const auto bin = static_cast<std::size_t>((lufs - absolute_gate) / bin_width);
  Bin& here = bins_[std::min(bin, bin_count - 1)];
  ++here.blocks;
  here.energy += energy;
}

double Loudness::integrated_lufs() const noexcept {
  const auto mean_from = [&](std::size_t first) {
    Bin sum;
    for (std::size_t i = first; i < bins_.size(); ++i) {
      sum.blocks += bins_[i].blocks;
      sum.energy += bins_[i].energy;
    }
    return sum.blocks > 0 ? sum.energy / static_cast<double>(sum.blocks) : 0;
  };
  const double ungated = mean_from(0);
  if (ungated <= 0) return -std::numeric_limits<double>::infinity();
  const double gate = std::max(lufs_of(ungated) - 10, absolute_gate);
  return lufs_of(mean_from(static_cast<std::size_t>((gate - absolute_gate) / bin_width)));
}

}  // namespace romanesca
