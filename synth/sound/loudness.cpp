#include "synth/sound/loudness.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "synth/sound/deterministic_math.h"

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
    : step_frames_(static_cast<std::int64_t>(std::floor(sample_rate_hz / 10 + 0.5))), bins_(bin_count) {
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
    shelf_ = {(high + middle * k / q + k * k) / a0,
              2 * (k * k - high) / a0,
              (high - middle * k / q + k * k) / a0,
              2 * (k * k - 1) / a0,
              (1 - k / q + k * k) / a0,
              Sides{},
              Sides{}};
  }
  {
    constexpr double q = 0.5003270373238773;
    const double k = tangent(38.13547087602444);
    const double a0 = 1 + k / q + k * k;
    highpass_ = {1, -2, 1, 2 * (k * k - 1) / a0, (1 - k / q + k * k) / a0, Sides{}, Sides{}};
  }
}

void Loudness::add(const StereoBlock& block) noexcept {
  for (std::size_t at = 0; at < block.frames;) {
    const auto count = std::min(block.frames - at, static_cast<std::size_t>(step_frames_ - frames_));
    weigh({block.left + at, block.right + at, count});
    frames_ += static_cast<std::int64_t>(count);
    at += count;
    if (frames_ == step_frames_) end_step();
  }
  // The filters are cleared far below hearing, before their state becomes denormal.
  for (Stage* stage : {&shelf_, &highpass_}) {
    for (std::size_t c = 0; c < 2; ++c) {
      if (std::abs(stage->first[c]) < 1e-30) stage->first[c] = 0;
      if (std::abs(stage->second[c]) < 1e-30) stage->second[c] = 0;
    }
  }
}

/// Through both filters, and the sum of squares: left and right side by side.
void Loudness::weigh(const StereoBlock& block) noexcept {
  const Stage& shelf = shelf_;
  Sides shelf_first = shelf_.first;
  Sides shelf_second = shelf_.second;
  Sides first = highpass_.first;
  Sides second = highpass_.second;
  Sides squares = squares_;
  for (std::size_t i = 0; i < block.frames; ++i) {
    const Sides in{static_cast<double>(block.left[i]), static_cast<double>(block.right[i])};
    const Sides bright = shelf.b0 * in + shelf_first;
    shelf_first = (shelf.b1 * in + shelf_second) - shelf.a1 * bright;
    shelf_second = shelf.b2 * in - shelf.a2 * bright;
    const Sides out = bright + first;
    first = (second - 2.0 * bright) - highpass_.a1 * out;
    second = bright - highpass_.a2 * out;
    squares += out * out;
  }
  shelf_.first = shelf_first;
  shelf_.second = shelf_second;
  highpass_.first = first;
  highpass_.second = second;
  squares_ = squares;
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
