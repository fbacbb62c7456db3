#include "synth/hearing/resampler.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "synth/hearing/pitch_spectrum.h"

namespace romanesca {
namespace {

constexpr double half_zeros = 16;  // zero crossings of the sinc to each side

}  // namespace

HearingResampler::HearingResampler(double input_rate_hz)
    : input_rate_hz_(std::clamp(input_rate_hz, 8000.0, 192000.0)), step_(input_rate_hz_ / hearing_rate_hz) {
  const double corner = 0.91 * std::min(1.0, hearing_rate_hz / input_rate_hz_);  // of half the input's rate
  const double half_width = half_zeros / corner;
  taps_ = 2 * static_cast<std::size_t>(std::ceil(half_width));
  filters_.resize((phases + 1) * taps_);
  history_.resize(2 * taps_);
  const double middle = static_cast<double>(taps_) / 2;
  for (std::size_t phase = 0; phase <= phases; ++phase) {
    float* const row = filters_.data() + phase * taps_;
    double sum = 0;
    for (std::size_t i = 0; i < taps_; ++i) {
      const double t = static_cast<double>(i) - middle + static_cast<double>(phase) / phases;
      const double x = std::numbers::pi * corner * t;
      const double turn = std::numbers::pi * t / half_width;
      const double window = std::abs(t) < half_width ? 0.42 + 0.5 * std::cos(turn) + 0.08 * std::cos(2 * turn) : 0;
      const double weight = window * (std::abs(x) < 1e-9 ? 1 : std::sin(x) / x);
      row[i] = static_cast<float>(weight);
      sum += weight;
    }
    for (std::size_t i = 0; i < taps_; ++i) row[i] = static_cast<float>(static_cast<double>(row[i]) / sum);
  }
}

float HearingResampler::value() const noexcept {
  // The output lies -phase_ (0 to 1) input samples before the last input; between the rows it is interpolated.
  const double place = std::clamp(-phase_, 0.0, 1.0) * phases;
  const auto row = std::min(static_cast<std::size_t>(place), phases - 1);
  const auto share = static_cast<float>(place - static_cast<double>(row));
  const float* const filter = filters_.data() + row * taps_;
  const float* const next = filter + taps_;
  const float* const samples = history_.data() + at_;
  float sum = 0;
  float next_sum = 0;
  for (std::size_t i = 0; i < taps_; ++i) {
    sum += filter[i] * samples[i];
    next_sum += next[i] * samples[i];
  }
  return sum + share * (next_sum - sum);
}

double HearingResampler::delay_s() const noexcept { return (static_cast<double>(taps_) / 2 - 1) / input_rate_hz_; }

}  // namespace romanesca
