#include "synth/hearing/fourier.h"

#include <cmath>
#include <numbers>
#include <utility>

namespace romanesca {

Fourier::Fourier(std::size_t size) : order_(size) {
  for (std::size_t i = 1; i < size; ++i) {
    // The reversed index of i is that of i / 2, one bit lower, and the top bit where i is odd.
    order_[i] = order_[i / 2] / 2 + (i % 2 != 0 ? size / 2 : 0);
  }
  for (std::size_t half = 1; half < size; half *= 2) {
    for (std::size_t k = 0; k < half; ++k) {
      const double angle = -std::numbers::pi * static_cast<double>(k) / static_cast<double>(half);
      cosine_.push_back(static_cast<float>(std::cos(angle)));
      sine_.push_back(static_cast<float>(std::sin(angle)));
    }
  }
}

void Fourier::transform(float* real, float* imaginary) const noexcept {
  const std::size_t size = order_.size();
  for (std::size_t i = 0; i < size; ++i) {
    if (order_[i] <= i) continue;
    std::swap(real[i], real[order_[i]]);
    std::swap(imaginary[i], imaginary[order_[i]]);
  }
  const float* cosine = cosine_.data();
  const float* sine = sine_.data();
  for (std::size_t half = 1; half < size; cosine += half, sine += half, half *= 2) {
    for (std::size_t first = 0; first < size; first += 2 * half) {
      float* const a = real + first;
      float* const b = imaginary + first;
      float* const c = a + half;
      float* const d = b + half;
      for (std::size_t k = 0; k < half; ++k) {
        const float turned_real = c[k] * cosine[k] - d[k] * sine[k];
        const float turned_imaginary = c[k] * sine[k] + d[k] * cosine[k];
        c[k] = a[k] - turned_real;
        d[k] = b[k] - turned_imaginary;
        a[k] += turned_real;
        b[k] += turned_imaginary;
      }
    }
  }
}

AmplitudeSpectrum::AmplitudeSpectrum(std::size_t size)
    : half_(size / 2),
      window_(size),
      cosine_(size / 2 + 1),
      sine_(size / 2 + 1),
      real_(size / 2),
      imaginary_(size / 2) {
  for (std::size_t i = 0; i < size; ++i) {
    const double turn = 2 * std::numbers::pi * (static_cast<double>(i) + 0.5) / static_cast<double>(size);
    // The sum of the window is half its size, and a sine has half its amplitude on each side of the spectrum.
    window_[i] = static_cast<float>((0.5 - 0.5 * std::cos(turn)) * 4 / static_cast<double>(size));
  }
  for (std::size_t k = 0; k <= size / 2; ++k) {
    const double turn = -2 * std::numbers::pi * static_cast<double>(k) / static_cast<double>(size);
    cosine_[k] = static_cast<float>(std::cos(turn));
    sine_[k] = static_cast<float>(std::sin(turn));
  }
}

void AmplitudeSpectrum::compute(std::span<const float> samples, std::span<float> amplitudes) noexcept {
  const std::size_t half = real_.size();
  for (std::size_t i = 0; i < half; ++i) {
    real_[i] = samples[2 * i] * window_[2 * i];
    imaginary_[i] = samples[2 * i + 1] * window_[2 * i + 1];
  }
  half_.transform(real_.data(), imaginary_.data());
  // The even samples were the real part and the odd ones the imaginary part: their spectra are separated by symmetry.
  for (std::size_t k = 0; k <= half; ++k) {
    const std::size_t i = k % half;
    const std::size_t j = (half - k) % half;
    const float even_real = 0.5f * (real_[i] + real_[j]);
    const float even_imaginary = 0.5f * (imaginary_[i] - imaginary_[j]);
    const float odd_real = 0.5f * (imaginary_[i] + imaginary_[j]);
    const float odd_imaginary = 0.5f * (real_[j] - real_[i]);
    const float x = even_real + cosine_[k] * odd_real - sine_[k] * odd_imaginary;
    const float y = even_imaginary + cosine_[k] * odd_imaginary + sine_[k] * odd_real;
    amplitudes[k] = std::sqrt(x * x + y * y);
  }
}

}  // namespace romanesca
