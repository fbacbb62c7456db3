#pragma once

#include <cstdint>
#include <optional>

#include "synth/sound/frame_store.h"
#include "synth/sound/performance.h"
#include "synth/sound/sample_block.h"
#include "synth/sound/sound_source.h"

namespace romanesca {

/// Measures true peaks (ITU-R BS.1770-4, annex 2).
class TruePeakMeter {
 public:
  virtual ~TruePeakMeter() = default;
  TruePeakMeter() = default;
  TruePeakMeter(const TruePeakMeter&) = delete;
  TruePeakMeter& operator=(const TruePeakMeter&) = delete;
  virtual void add(const StereoBlock& block) = 0;
  [[nodiscard]] virtual double true_peak_dbtp() = 0;  ///< minus infinity for silence
};

/// Takes the finished frames, in order.
class FrameSink {
 public:
  virtual ~FrameSink() = default;
  FrameSink() = default;
  FrameSink(const FrameSink&) = delete;
  FrameSink& operator=(const FrameSink&) = delete;
  virtual void write(const StereoBlock& block) = 0;
};

/// Receives the progress of the work, and may stop it.
class Progress {
 public:
  virtual ~Progress() = default;
  Progress() = default;
  Progress(const Progress&) = delete;
  Progress& operator=(const Progress&) = delete;
  /// @param fraction 0 to 1. @return false to stop.
  virtual bool at(double fraction) = 0;
};

struct TrackSettings {
  double sample_rate_hz = 48000;  ///< 8000 to 192000
  bool loop = true;               ///< exact length, begun as if it had been played before; else the end rings out
  double loudness_lufs = -16;     ///< integrated, -40 to -8
  double ceiling_dbtp = -1;       ///< true peak, -20 to 0
  /// For a stem: the gain of its mix instead of a loudness of its own, and no compressor, so that stems add up to the
  /// mix as it was before mastering. The limiter stays, and does nothing below the ceiling.
  std::optional<double> fixed_gain_db;
  int threads = 1;  ///< that may help to render, 1 to 64; the samples are the same
};

struct TrackResult {
  std::int64_t frames = 0;
  double loudness_lufs = 0;   ///< measured on what was written
  double true_peak_dbtp = 0;  ///< likewise
  double gain_db = 0;         ///< from the compressed mix to the limiter
  bool stopped = false;       ///< Progress said so; what was written is not a whole track
};

/// Renders a source to a finished track. The mix goes through the bus compressor into the store while its loudness is
/// measured; then follow the gain that brings it to the target, a limiter, the meters and the sink. Where the limiter
/// has to act a lot, a trial on the stored mix measures how much softer it makes the track. Memory does not grow with
/// the length, unless the store's does. A loop needs a source with a lead-in.
[[nodiscard]] TrackResult render_track(SoundSource& source, const TrackSettings& settings, FrameStore& store,
                                       TruePeakMeter& meter, FrameSink& sink, Progress& progress);

}  // namespace romanesca
