#pragma once

#include <memory>

#include "synth/sound/track_renderer.h"

namespace romanesca {

/// True peaks after ITU-R BS.1770-4 and EBU R 128, measured by libebur128.
///
/// That takes longer than rendering, so the library only measures blocks that can matter: one whose samples, times the
/// most that the library's interpolator can add, stay below the highest peak so far cannot hold a higher one.
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
