#pragma once

#include <array>
#include <cstddef>
#include <span>
#include <vector>

#include "synth/hearing/pitch_spectrum.h"

namespace romanesca {

/// How strongly the twelve pitch classes (C first) sound in three registers, which overlap: about E2, A3 and C5. Sums
/// of whitened amplitudes: independent of level, about 0 to 2.
struct RegisterChroma {
  static constexpr std::size_t registers = 3;
  std::array<std::array<float, 12>, registers> rows{};
};

/// A whole recording as spectra of pitch.
struct PitchFrames {
  static constexpr std::size_t hop = 1024;  ///< samples at hearing_rate_hz: 46 ms
  static constexpr double seconds = static_cast<double>(hop) / hearing_rate_hz;
  /// Whitened (pitch_spectrum.h), one row of pitch_bins for each frame; frame i is centred on i * seconds.
  std::vector<std::array<float, pitch_bins>> rows;
  std::vector<float> levels;  ///< of each frame, dB re the loudest one, at least -120
  double tuning_cents = 0;    ///< above 440 Hz, -70 to 30: where the spectra have their semitones

  /// Mean of the rows between two times, folded to pitch classes; the frame in the middle where none lies between.
  [[nodiscard]] RegisterChroma chroma(double from_s, double to_s) const;
};

/// Finds the tuning of the recording and folds its spectra of 8192 samples by it.
/// @param sound at hearing_rate_hz
[[nodiscard]] PitchFrames pitch_frames(std::span<const float> sound);

/// How far an instrument is tuned above 440 Hz, -70 to 30: the mean of TuningMeter over the recording.
[[nodiscard]] double tuning_of(std::span<const float> sound);

}  // namespace romanesca
