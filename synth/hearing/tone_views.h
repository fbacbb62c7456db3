#pragma once

#include <array>
#include <cstddef>
#include <span>
#include <vector>

#include "synth/hearing/fourier.h"
#include "synth/hearing/pitch_spectrum.h"

namespace romanesca {

/// What ToneNetwork sees of a moment after an onset: spectra of pitch whose bins stand as in PitchFold.
struct ToneViews {
  static constexpr std::size_t count = 4;
  /// The last 372 ms, the last 186 ms, and 372 ms before the onset, each whitened (pitch_spectrum.h); and by how much
  /// the first rose above the third, as a difference of logarithms, -1 to 1.
  std::array<std::array<float, pitch_bins>, count> rows{};
};

/// Makes the views, and finds the tuning of the instrument from what it sees. Allocates in its constructor only.
class ToneViewer {
 public:
  ToneViewer();
  /// Keeps what sounded before an onset. @param samples the pitch_block of them that end with it
  void keep_before(std::span<const float> samples) noexcept;
  /// @param samples the last pitch_block of them
  void look(std::span<const float> samples, ToneViews& views) noexcept;

  /// How far the instrument is tuned above 440 Hz (TuningMeter).
  [[nodiscard]] double tuning_cents() const noexcept { return meter_.cents(); }
  /// Uses this tuning from now on, whatever is heard. @param cents -100 to 100
  void fix_tuning(double cents);

 private:
  static constexpr std::size_t short_block = pitch_block / 2;
  void fold_at(double cents);

  AmplitudeSpectrum long_spectrum_, short_spectrum_;
  PitchFold long_fold_, short_fold_;
  std::vector<float> lines_, lines_before_;
  TuningMeter meter_;
  double folded_cents_ = 0;
  bool fixed_ = false;
};

}  // namespace romanesca
