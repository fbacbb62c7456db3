#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace romanesca {

/// Converts a stream to hearing_rate_hz by a sinc under a Blackman window, with its corner below half the lower of the
/// two rates: at most 0.5 dB of loss up to 8 kHz and at least 60 dB of attenuation of what would alias below 9 kHz
/// (measured by tests/synth/hearing). Allocates in its constructor only.
class HearingResampler {
 public:
  /// @param input_rate_hz 8000 to 192000
  explicit HearingResampler(double input_rate_hz);

  /// Calls @p use with each sample that can be made by now.
  template <typename Use>
  void push(std::span<const float> samples, const Use& use) noexcept {
    for (const float sample : samples) {
      history_[at_] = history_[at_ + taps_] = sample;  // written twice, so that the last taps_ are always in a row
      at_ = at_ + 1 == taps_ ? 0 : at_ + 1;
      for (phase_ -= 1; phase_ <= 0; phase_ += step_) use(value());
    }
  }
  /// By how much the output is late, in seconds.
  [[nodiscard]] double delay_s() const noexcept;

 private:
  static constexpr std::size_t phases = 64;
  [[nodiscard]] float value() const noexcept;

  double input_rate_hz_, step_, phase_ = 1;
  std::size_t taps_, at_ = 0;
  std::vector<float> filters_;  ///< phases + 1 rows of taps_ weights: how far the output lies before the last input
  std::vector<float> history_;
};

}  // namespace romanesca
