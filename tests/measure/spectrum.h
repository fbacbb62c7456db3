#pragma once

#include <algorithm>
#include <cmath>
#include <complex>
#include <cstddef>
#include <span>
#include <vector>

namespace romanesca::test {

/// Fourier transform of a power of two, in place (Cooley & Tukey, 1965).
inline void transform(std::vector<std::complex<double>>& values) {
  const std::size_t size = values.size();
  for (std::size_t i = 1, j = 0; i < size; ++i) {
    std::size_t bit = size / 2;
    for (; (j & bit) != 0; bit /= 2) j ^= bit;
    j ^= bit;
    if (i < j) std::swap(values[i], values[j]);
  }
  for (std::size_t length = 2; length <= size; length *= 2) {
    const std::complex<double> turn = std::polar(1.0, -2 * M_PI / static_cast<double>(length));
    for (std::size_t first = 0; first < size; first += length) {
      std::complex<double> point = 1;
      for (std::size_t k = first; k < first + length / 2; ++k, point *= turn) {
        const std::complex<double> odd = values[k + length / 2] * point;
        values[k + length / 2] = values[k] - odd;
        values[k] += odd;
      }
    }
  }
}

/// Amplitudes from 0 to half the sample rate under a window of four cosines (Blackman & Harris; side lobes at -92 dB).
/// @param samples a power of two of them
inline std::vector<double> amplitudes(std::span<const float> samples) {
  std::vector<std::complex<double>> values(samples.size());
  double weight = 0;
  for (std::size_t i = 0; i < samples.size(); ++i) {
    const double turn = 2 * M_PI * (static_cast<double>(i) + 0.5) / static_cast<double>(samples.size());
    const double window =
        0.35875 - 0.48829 * std::cos(turn) + 0.14128 * std::cos(2 * turn) - 0.01168 * std::cos(3 * turn);
    values[i] = window * static_cast<double>(samples[i]);
    weight += window;
  }
  transform(values);
  std::vector<double> found(samples.size() / 2);
  for (std::size_t i = 0; i < found.size(); ++i) found[i] = 2 * std::abs(values[i]) / weight;
  return found;
}

/// The strongest component that is no multiple of the frequency, in dB re the fundamental. Within the width of the
/// window around a multiple, and below 30 Hz, nothing is looked at.
inline double strongest_stranger_db(std::span<const float> samples, double frequency_hz, double sample_rate_hz) {
  const std::vector<double> found = amplitudes(samples);
  const double bin_hz = sample_rate_hz / static_cast<double>(samples.size());
  double fundamental = 0;
  double stranger = 0;
  for (std::size_t i = 0; i < found.size(); ++i) {
    const double hz = static_cast<double>(i) * bin_hz;
    const double away = std::abs(hz - std::round(hz / frequency_hz) * frequency_hz);
    if (std::abs(hz - frequency_hz) < 6 * bin_hz) fundamental = std::max(fundamental, found[i]);
    if (away > 8 * bin_hz && hz > 30) stranger = std::max(stranger, found[i]);
  }
  return 20 * std::log10(stranger / fundamental);
}

}  // namespace romanesca::test
