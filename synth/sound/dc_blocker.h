#pragma once

#include <cmath>
#include <cstddef>

namespace romanesca {

/// Takes out what lies below hearing: a first-order highpass (y = x - x' + r y'). Struck sounds leave a trace of offset
/// that would cost headroom. 3 dB down at cutoff_hz, 0.02 dB at 100 Hz for the usual 7 Hz.
class DcBlocker {
 public:
  /// @param sample_rate_hz 8000 to 192000 @param cutoff_hz 1 to 30
  DcBlocker(double sample_rate_hz, double cutoff_hz) noexcept
      : keep_(static_cast<float>(std::exp(-6.283185307 * cutoff_hz / sample_rate_hz))) {}

  void process(float* samples, std::size_t frames) noexcept {
    float last_in = last_in_;
    float last_out = last_out_;
    for (std::size_t i = 0; i < frames; ++i) {
      last_out = samples[i] - last_in + keep_ * last_out;
      last_in = samples[i];
      samples[i] = last_out;
    }
    last_in_ = last_in;
    // Below -140 dB it is silence, before the numbers become denormal.
    last_out_ = std::abs(last_out) < 1e-7f ? 0.0f : last_out;
  }
  [[nodiscard]] bool silent() const noexcept { return last_in_ == 0 && last_out_ == 0; }

 private:
  float keep_;
  float last_in_ = 0, last_out_ = 0;
};

}  // namespace romanesca
