#pragma once

#include <memory>

#include "synth/sound/track_renderer.h"

namespace romanesca {

/// True peaks after ITU-R BS.1770-4 and EBU R 128, measured by libebur128.
///
/// That costs as much as a whole band, so the library only looks for it where it can be. A block whose samples,
/// times the most that the library's interpolator can add, stay below the highest peak so far cannot hold a higher
/// one; nor can one that our own interpolator, whose taps are the same, finds lower.
class EburPeakMeter final : public TruePeakMeter {
 public:
  explicit EburPeakMeter(double sample_rate_hz);
  ~EburPeakMeter() override;
  EburPeakMeter(const EburPeakMeter&) = delete;
  EburPeakMeter& operator=(const EburPeakMeter&) = delete;
  void add(const StereoBlock& block) override;
  [[nodiscard]] double true_peak_dbtp() override;

 private:
  struct State;
  std::unique_ptr<State> state_;
};

}  // namespace romanesca
