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

/// Samples of a block whose spectrum tells semitones apart from about E2 on: 372 ms.
inline constexpr std::size_t pitch_block = 8192;

/// Finds how far an instrument is tuned above or below 440 Hz (ISO 16) from the peaks of its spectra between 110 and
/// 1760 Hz: their distances from the nearest semitone are averaged as angles, weighted by amplitude, with a memory of
/// about twenty blocks.
class TuningMeter {
 public:
  /// @param amplitudes of a block of pitch_block samples
  void add(std::span<const float> amplitudes) noexcept;
  /// -54 to 46: an old piano is flat more often than sharp, so a quarter tone counts as flat. 0 until something was
  /// heard.
  [[nodiscard]] double cents() const noexcept;
  /// How well the peaks agree, 0 to 1.
  [[nodiscard]] double agreement() const noexcept;

 private:
  double real_ = 0, imaginary_ = 0, weight_ = 0;
};

}  // namespace romanesca
