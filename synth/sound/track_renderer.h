#pragma once

#include <cstdint>

#include "synth/sound/performance.h"
#include "synth/sound/sample_block.h"

namespace romanesca {

/// Measures loudness as it is heard (ITU-R BS.1770-4); the files half has one.
class LoudnessMeter {
 public:
  virtual ~LoudnessMeter() = default;
  LoudnessMeter() = default;
  LoudnessMeter(const LoudnessMeter&) = delete;
  LoudnessMeter& operator=(const LoudnessMeter&) = delete;
  /// Forgets what it heard. @param with_true_peak also measure true peaks, which costs several times as much.
  virtual void reset(bool with_true_peak) = 0;
  virtual void add(const StereoBlock& block) = 0;
  [[nodiscard]] virtual double integrated_lufs() = 0;  ///< minus infinity for silence
  [[nodiscard]] virtual double true_peak_dbtp() = 0;   ///< minus infinity unless it was asked for
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

/// Hears how far the work is, and may stop it.
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
  bool loop = true;               ///< exact length, what rings on folded into the start; else the end rings out
  double loudness_lufs = -16;     ///< integrated, -40 to -8
  double ceiling_dbtp = -1;       ///< true peak, -20 to 0
};

struct TrackResult {
  std::int64_t frames = 0;
  double loudness_lufs = 0;   ///< measured on what was written
  double true_peak_dbtp = 0;  ///< likewise
  bool stopped = false;       ///< Progress said so; what was written is not a whole track
};

/// Renders a performance to a finished track: once to measure its loudness (and to keep what rings past the end), then
/// again with the gain that brings it to the target, through a limiter, into the sink. Where the limiter will have much
/// to do, a trial of the first half minute tells how much softer it makes the track. Memory does not grow with the
/// length.
[[nodiscard]] TrackResult render_track(const Performance& performance, const TrackSettings& settings,
                                       LoudnessMeter& meter, FrameSink& sink, Progress& progress);

}  // namespace romanesca
