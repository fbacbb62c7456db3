#pragma once

#include <algorithm>
#include <cmath>
#include <complex>
#include <cstddef>
#include <span>
#include <vector>

namespace romanesca::test {

/// The component near a frequency under a Hann window: amplitude and phase.
inline std::complex<double> component(std::span<const float> samples, double frequency_hz, double sample_rate_hz) {
  const double length = static_cast<double>(samples.size());
  const std::complex<double> turn = std::polar(1.0, -2 * M_PI * frequency_hz / sample_rate_hz);
  const std::complex<double> window_turn = std::polar(1.0, 2 * M_PI / length);
  std::complex<double> point = 1;
  std::complex<double> window_point = std::polar(1.0, M_PI / length);
  std::complex<double> sum;
  double weight = 0;
  for (const float sample : samples) {
    const double window = 0.5 - 0.5 * window_point.real();
    sum += window * static_cast<double>(sample) * point;
    weight += window;
    point *= turn;
    window_point *= window_turn;
  }
  return 2.0 * sum / weight;
}

/// How far a steady tone is from the expected frequency, in cents: from the advance of its phase between two windows
/// whose distance is found by doubling, so that no turn is lost. Good to a hundredth of a cent on half a second.
inline double cents_off(std::span<const float> samples, double expected_hz, double sample_rate_hz) {
  const std::size_t window = samples.size() / 2;
  double estimate_hz = expected_hz;
  for (std::size_t hop = 64; hop <= samples.size() - window; hop *= 2) {
    const auto first = component(samples.subspan(0, window), estimate_hz, sample_rate_hz);
    const auto second = component(samples.subspan(hop, window), estimate_hz, sample_rate_hz);
    // Each is measured from its own first sample; the expected advance over the hop is taken off.
    const double expected_turns = estimate_hz * static_cast<double>(hop) / sample_rate_hz;
    const double advance = std::arg(second / first) / (2 * M_PI) - (expected_turns - std::round(expected_turns));
    estimate_hz += (advance - std::round(advance)) * sample_rate_hz / static_cast<double>(hop);
  }
  return 1200 * std::log2(estimate_hz / expected_hz);
}

/// Root mean square in dB re full scale.
inline double level_db(std::span<const float> samples) {
  double squares = 0;
  for (const float sample : samples) squares += static_cast<double>(sample) * static_cast<double>(sample);
  return 10 * std::log10(std::max(squares / static_cast<double>(std::max<std::size_t>(samples.size(), 1)), 1e-20));
}

inline float peak(std::span<const float> samples) {
  float highest = 0;
  for (const float sample : samples) highest = std::max(highest, std::abs(sample));
  return highest;
}

/// The first sample above a fraction of the peak: where a struck sound begins.
inline std::size_t onset(std::span<const float> samples, float fraction = 0.02f) {
  const float threshold = peak(samples) * fraction;
  std::size_t i = 0;
  while (i < samples.size() && std::abs(samples[i]) <= threshold) ++i;
  return i;
}

}  // namespace romanesca::test
