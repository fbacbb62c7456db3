#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace romanesca {

/// Discrete Fourier transform of complex samples (Cooley & Tukey, "An algorithm for the machine calculation of complex
/// Fourier series", Math. Comp. 19, 1965). Allocates in its constructor only.
class Fourier {
 public:
  /// @param size a power of two, 2 to 2^20
  explicit Fourier(std::size_t size);
  /// Forward and in place; without a factor. @param real, imaginary `size` values each
  void transform(float* real, float* imaginary) const noexcept;
  [[nodiscard]] std::size_t size() const noexcept { return order_.size(); }

 private:
  std::vector<std::size_t> order_;    ///< where each sample goes before the first stage: its index with bits reversed
  std::vector<float> cosine_, sine_;  ///< of the stages one after another: 1, 2, 4 ... values
};

/// Amplitudes of a block of sound under a Hann window (Harris, Proc. IEEE 66/1, 1978). Allocates in its constructor
/// only.
class AmplitudeSpectrum {
 public:
  /// @param size of a block, a power of two, 4 to 2^20
  explicit AmplitudeSpectrum(std::size_t size);
  /// @param samples `size` of them @param amplitudes size / 2 + 1 values: a sine of amplitude 1 gives 1 in its bin
  void compute(std::span<const float> samples, std::span<float> amplitudes) noexcept;
  [[nodiscard]] std::size_t size() const noexcept { return window_.size(); }

 private:
  Fourier half_;
  std::vector<float> window_, cosine_, sine_, real_, imaginary_;
};

}  // namespace romanesca
