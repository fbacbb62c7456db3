#pragma once

#include <array>
#include <cstddef>
#include <span>
#include <vector>

#include "synth/hearing/fourier.h"

namespace romanesca {

/// The sample rate at which everything in synth/hearing works. The highest bin of pitch is at 2.8 kHz.
inline constexpr double hearing_rate_hz = 22050;

inline constexpr int lowest_heard_midi = 28, highest_heard_midi = 100;  // E1 to E7
inline constexpr std::size_t bins_per_semitone = 3;
inline constexpr std::size_t pitch_bins =
    (static_cast<std::size_t>(highest_heard_midi - lowest_heard_midi) + 1) * bins_per_semitone;

/// Gathers an amplitude spectrum in bins of a third of a semitone: bin 3 * i + 1 is at lowest_heard_midi + i. Each is a
/// triangle of a third of a semitone, or one line of the spectrum where that is wider, to each side; its weights add up
/// to 1.
class PitchFold {
 public:
  /// @param block_size of the spectrum
  explicit PitchFold(std::size_t block_size);
  /// @param cents how far the instrument is tuned above 440 Hz, -100 to 100
  void set_tuning(double cents);
  void fold(std::span<const float> amplitudes, std::span<float> bins) const noexcept;

 private:
  struct Bin {
    std::size_t first_line, first_weight, count;
  };
  std::size_t block_size_;
  std::array<Bin, pitch_bins> bins_{};
  std::vector<float> weights_;
};

/// Removes the local mean and deviation over an octave from logarithmic bins, which makes them independent of level and
/// of the colour of the sound. @param bins pitch_bins values; the ends count as often as the octave reaches beyond them
void whiten(std::span<float> bins) noexcept;

/// What the tones of a chord are recognized from: three spectra of pitch, one after another. A long block that ends
/// now, a short one that ends now, and a long one that ends at the onset, so that what sounded before can be told from
/// what was struck. Logarithmic; the local mean and deviation over an octave are removed, which makes them independent
/// of level and of the colour of the sound.
using ToneFeatures = std::array<float, 3 * pitch_bins>;

/// Makes features from sound at hearing_rate_hz.
class ToneFrontEnd {
 public:
  static constexpr std::size_t long_block = 8192;   ///< 372 ms: tells semitones apart from about E2 on
  static constexpr std::size_t short_block = 4096;  ///< 186 ms

  ToneFrontEnd();
  void set_tuning(double cents);
  [[nodiscard]] double tuning_cents() const noexcept { return tuning_cents_; }
  /// @param now long_block samples that end now @param before long_block samples that end at the onset
  void compute(std::span<const float> now, std::span<const float> before, ToneFeatures& features) noexcept;
  /// The long spectrum of the last call: long_block / 2 + 1 amplitudes.
  [[nodiscard]] std::span<const float> long_spectrum() const noexcept { return long_lines_; }

 private:
  AmplitudeSpectrum long_, short_;
  PitchFold long_fold_, short_fold_;
  std::vector<float> long_lines_, lines_;
  double tuning_cents_ = 0;
};

/// Finds how far an instrument is tuned above or below 440 Hz (ISO 16) from the peaks of its spectra between 110 and
/// 1760 Hz: their distances from the nearest semitone are averaged as angles, weighted by amplitude, with a memory of
/// about twenty blocks.
class TuningMeter {
 public:
  /// @param amplitudes of a block of ToneFrontEnd::long_block samples
  void add(std::span<const float> amplitudes) noexcept;
  /// -70 to 30: an old piano is flat far more often than sharp, so a quarter tone counts as flat. 0 until something
  /// was heard.
  [[nodiscard]] double cents() const noexcept;
  /// How well the peaks agree, 0 to 1.
  [[nodiscard]] double agreement() const noexcept;

 private:
  double real_ = 0, imaginary_ = 0, weight_ = 0;
};

}  // namespace romanesca
