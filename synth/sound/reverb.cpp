#include "synth/sound/reverb.h"

#include <algorithm>
#include <cmath>

namespace romanesca {
namespace {

// Lengths without a common factor, in frames at 48 kHz: 23 to 55 ms.
constexpr std::array<int, 8> lengths_48k{1123, 1321, 1559, 1747, 1949, 2161, 2411, 2633};
constexpr double decay_s = 1.3;
constexpr double damping_hz = 5200;
constexpr float inaudible = 1e-6f;  // -120 dB

}  // namespace

Reverb::Reverb(double sample_rate_hz)
    : damping_(static_cast<float>(1 - std::exp(-6.2831853 * std::min(damping_hz / sample_rate_hz, 0.4)))) {
  for (std::size_t k = 0; k < line_count; ++k) {
    const auto length = static_cast<std::size_t>(std::lround(lengths_48k[k] * sample_rate_hz / 48000));
    lines_[k].samples.assign(std::max(length, slice_frames), 0.0f);
    const double seconds = static_cast<double>(lines_[k].samples.size()) / sample_rate_hz;
    feedback_[k] = static_cast<float>(std::pow(10.0, -3.0 * seconds / decay_s));
    longest_ = std::max(longest_, lines_[k].samples.size());
  }
}

void Reverb::fall_silent() noexcept {
  for (Line& line : lines_) std::fill(line.samples.begin(), line.samples.end(), 0.0f);
  damped_.fill(0);
  silent_ = true;
  quiet_frames_ = 0;
}

void Reverb::add_to(const float* in, float* left, float* right, std::size_t frames) noexcept {
  float loudest_in = 0;
  for (std::size_t i = 0; i < frames; ++i) loudest_in = std::max(loudest_in, std::abs(in[i]));
  if (silent_ && loudest_in == 0) return;
  silent_ = false;

  // Every line is longer than a slice, so a slice of all lines can be read before any of it is written.
  std::array<std::array<float, slice_frames>, line_count> out;
  for (std::size_t k = 0; k < line_count; ++k) {
    lines_[k].each_run(frames, [&](const float* samples, std::size_t from, std::size_t count) {
      std::copy_n(samples, count, out[k].begin() + static_cast<std::ptrdiff_t>(from));
    });
  }
  // The damping looks back one frame, so the eight lines go side by side.
  std::array<float, line_count> damped = damped_;
  std::array<float, slice_frames> sum;
  for (std::size_t i = 0; i < frames; ++i) {
    float all = 0;
    for (std::size_t k = 0; k < line_count; ++k) {
      damped[k] += damping_ * (out[k][i] - damped[k]);
      out[k][i] = damped[k] * feedback_[k];
      all += out[k][i];
    }
    sum[i] = all;
  }
  damped_ = damped;
  float loudest_out = 0;
  for (std::size_t i = 0; i < frames; ++i) {
    const float l = out[0][i] - out[2][i] + out[4][i] - out[6][i];
    const float r = out[1][i] - out[3][i] + out[5][i] - out[7][i];
    left[i] += 0.5f * l;
    right[i] += 0.5f * r;
    loudest_out = std::max(loudest_out, std::abs(sum[i]) + std::abs(l) + std::abs(r));
  }
  for (std::size_t k = 0; k < line_count; ++k) {
    lines_[k].each_run(frames, [&](float* samples, std::size_t from, std::size_t count) {
      for (std::size_t i = 0; i < count; ++i) samples[i] = out[k][from + i] - 0.25f * sum[from + i] + in[from + i];
    });
    lines_[k].position = (lines_[k].position + frames) % lines_[k].samples.size();
  }
  quiet_frames_ = loudest_in < inaudible && loudest_out < inaudible ? quiet_frames_ + frames : 0;
  if (quiet_frames_ > longest_) fall_silent();
}

}  // namespace romanesca
