#pragma once

#include <array>
#include <cstddef>

#include "synth/hearing/perceptron.h"
#include "synth/hearing/tone_views.h"

namespace romanesca {

/// Tells which of the twelve tones sound. One perceptron looks upwards from each tone, so what it knows of one it knows
/// of all.
class ToneNetwork {
 public:
  /// Bins that the perceptron sees of each view: from the lowest octave that has the tone, 62 semitones.
  static constexpr std::size_t seen_bins = pitch_bins - 11 * bins_per_semitone;
  static constexpr std::size_t inputs = ToneViews::count * seen_bins;
  using Inputs = std::array<float, inputs>;

  explicit ToneNetwork(Perceptron network) : network_(std::move(network)) {}
  /// The probability of each pitch class, C first, 0 to 1. Does not allocate.
  [[nodiscard]] std::array<float, 12> probabilities(const ToneViews& views) const noexcept;

  /// What the perceptron sees for one pitch class.
  static void gather(const ToneViews& views, int pitch_class, Inputs& seen) noexcept;

 private:
  Perceptron network_;
};

}  // namespace romanesca
