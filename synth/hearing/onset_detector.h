#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <vector>

#include "synth/hearing/fourier.h"
#include "synth/hearing/perceptron.h"
#include "synth/hearing/pitch_spectrum.h"

namespace romanesca {

/// What the network that finds beginnings of notes sees: how strong bands of the sound were round a moment.
class OnsetViewer {
 public:
  static constexpr std::size_t hop = 128, block = 512;  ///< samples at hearing_rate_hz: 5.8 and 23 ms
  static constexpr std::size_t bands = 16;              ///< of equal width in pitch, from 70 Hz to 8 kHz
  static constexpr std::size_t frames_before = 10, frames_after = 5, frames = frames_before + 1 + frames_after;
  static constexpr std::size_t inputs = frames * bands;
  using Inputs = std::array<float, inputs>;

  OnsetViewer();
  /// Does not allocate. @return whether the views of another moment are complete
  bool push(float sample) noexcept;
  /// Logarithms of the bands' amplitudes re the loudest of the last seconds, a frame after the other.
  [[nodiscard]] Inputs views() const noexcept;
  /// The moment in the middle of the views: samples since the beginning.
  [[nodiscard]] std::int64_t moment() const noexcept;

 private:
  AmplitudeSpectrum spectrum_;
  std::array<std::size_t, bands + 1> edges_{};
  std::array<float, block> samples_{};
  std::vector<float> lines_;
  std::array<std::array<float, bands>, frames> ring_{};
  std::size_t at_ = 0, newest_ = 0;
  std::int64_t count_ = 0;
  float loudest_ = 1e-6f;
};

/// Finds where notes begin in a stream. A chord whose notes are struck within about 40 ms begins once.
class OnsetDetector {
 public:
  /// @param least the probability, 0 to 1, below which nothing counts as an onset
  explicit OnsetDetector(Perceptron network, float least = least_probability)
      : network_(std::move(network)), least_(least) {}

  /// Does not allocate. @return an onset that is sure by now: the sample it lay at since the beginning, about 65 ms ago
  std::optional<double> push(float sample) noexcept;
  /// Of the onset that was found last.
  [[nodiscard]] float probability() const noexcept { return probabilities_[reach]; }

  /// Low, as an onset that is missed costs a chord, and one too many only a look. Chosen with a look at the recorded
  /// piano of tests/measure/hearing_figures.
  static constexpr float least_probability = 0.25f;

 private:
  static constexpr std::size_t reach = 5;  ///< frames to each side that are less probable than an onset

  OnsetViewer viewer_;
  Perceptron network_;
  float least_;
  std::array<float, 2 * reach + 1> probabilities_{};
};

}  // namespace romanesca
