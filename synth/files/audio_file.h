#pragma once

#include <cstdint>
#include <memory>
#include <string>

#include "synth/sound/track_renderer.h"

namespace romanesca {

struct AudioFormat {
  double sample_rate_hz = 48000;
  int bits = 24;               ///< 24, or 16 with dither
  std::string ending = "wav";  ///< "wav" or "flac"
};

/// Writes a stereo audio file through libsndfile, block by block. 16 bits get triangular dither of two steps' width
/// (Lipshitz, Wannamaker & Vanderkooy, JAES 40/5, 1992; from memory), the same on every run. Nothing in the file
/// depends on the time. Throws FileError when the disk refuses, at the latest in close().
class AudioFile final : public FrameSink {
 public:
  AudioFile(const std::string& path, const AudioFormat& format);
  ~AudioFile() override;
  AudioFile(const AudioFile&) = delete;
  AudioFile& operator=(const AudioFile&) = delete;

  void write(const StereoBlock& block) override;
  void close();

 private:
  struct State;
  std::unique_ptr<State> state_;
};

}  // namespace romanesca
