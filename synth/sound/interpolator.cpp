#include "synth/sound/interpolator.h"

#include <algorithm>
#include <cmath>

#include "synth/sound/deterministic_math.h"
#include "synth/sound/sample_block.h"

namespace romanesca {
namespace {

constexpr double pi = 3.14159265358979323846;

ROMANESCA_VECTOR_CLONES
void raise(const float* __restrict samples, const float* __restrict quarter, const float* __restrict half,
           float* __restrict peaks) {
  constexpr std::size_t taps = Interpolator::taps;
  for (std::size_t i = 0; i < block_frames; ++i) {
    float first = 0;
    float middle = 0;
    float last = 0;
    for (std::size_t k = 0; k < taps; ++k) {
      first += quarter[k] * samples[i + k];
      middle += half[k] * samples[i + k];
      last += quarter[taps - 1 - k] * samples[i + k];
    }
    const float sample = std::abs(samples[i + taps / 2 - 1]);
    const float a = std::abs(first);
    const float b = std::abs(middle);
    const float c = std::abs(last);
    const float ab = a > b ? a : b;
    const float cs = c > sample ? c : sample;
    const float highest = ab > cs ? ab : cs;
    peaks[i] = highest > peaks[i] ? highest : peaks[i];
  }
}

}  // namespace

Interpolator::Interpolator() noexcept {
  // At w, 0 to 1, between sample 5 and sample 6 of the twelve.
  constexpr std::size_t before = taps / 2 - 1;
  for (std::size_t phase = 0; phase < phases_.size(); ++phase) {
    const double w = 0.25 * static_cast<double>(phase + 1);
    double absolute = 0;
    for (std::size_t k = 0; k < taps; ++k) {
      const double away = static_cast<double>(k) - (static_cast<double>(before) + w);
      const double sinc = rotation_of(away / 2).sine / (pi * away);
      const double weight = sinc * (0.5 + 0.5 * rotation_of(away / static_cast<double>(taps)).cosine);
      phases_[phase][k] = static_cast<float>(weight);
      absolute += std::abs(weight);
    }
    largest_gain_ = std::max(largest_gain_, static_cast<float>(absolute * 1.0001));
  }
}

void Interpolator::raise_peaks(const float* samples, float* peaks) const noexcept {
  raise(samples, phases_[0].data(), phases_[1].data(), peaks);
}

}  // namespace romanesca
