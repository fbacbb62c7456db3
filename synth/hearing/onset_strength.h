#pragma once

#include <array>
#include <cstddef>
#include <span>
#include <vector>

#include "synth/hearing/pitch_spectrum.h"

namespace romanesca {

/// How strongly sound begins, fifty times a second: for finding beats in a whole recording.
struct OnsetStrength {
  static constexpr std::size_t hop = 441;  ///< samples at hearing_rate_hz
  static constexpr double frames_per_second = hearing_rate_hz / static_cast<double>(hop);
  std::vector<float> all;  ///< of all bands; a moving mean removed, never negative, with a deviation of about 1
  std::vector<float> low;  ///< of those up to about 200 Hz: the left hand
  /// Of six groups of bands, low to high, each with a root mean square of 1: for BeatNetwork.
  static constexpr std::size_t groups = 6;
  std::vector<std::array<float, groups>> by_group{};
  double mean_rise = 0;  ///< mean of the 2 % highest rises before scaling, in nepers: about 0 where nothing begins
};

/// The rise of compressed band energies (40 bands of equal width in pitch from 40 Hz to 10 kHz) from one frame to the
/// next, as in Bello et al., "A tutorial on onset detection in music signals", IEEE TSAP 13/5, 2005 (spectral
/// difference; compression as is common practice).
/// @param sound at hearing_rate_hz; its frame i is centred on sample i * OnsetStrength::hop
[[nodiscard]] OnsetStrength onset_strength(std::span<const float> sound);

}  // namespace romanesca
