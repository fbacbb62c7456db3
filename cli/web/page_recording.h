#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "cli/web/page_song.h"
#include "synth/hearing/transcription.h"

namespace romanesca {

/// A recording of which the lesson page makes a chart: its samples first, then as many requests as are wanted.
class PageRecording {
 public:
  /// Begins another recording. @param count of samples: one channel at hearing_rate_hz, full scale 1
  /// @return where to write them before the first request
  [[nodiscard]] float* reserve(std::size_t count);

  /// The answer to "recording" (title, tempo, meter, factor, shift: as in ChartRequest): {"text", "bars", "tempo",
  /// "meter", "pulses", "key", "cents", "doubtful" (numbers of bars)}, or {"outcome"} with the reason why no chords
  /// were heard: "too_short", "silent", "steady" or "no_chords".
  [[nodiscard]] OrderedJson answer(const OrderedJson& request);

 private:
  std::vector<float> sound_;  // until the first request
  std::optional<SoundFeatures> features_;
};

}  // namespace romanesca
