#pragma once

#include <cstdint>
#include <memory>
#include <span>
#include <string>
#include <string_view>

#include "synth/files/audio_tags.h"
#include "synth/sound/track_renderer.h"

namespace romanesca {

struct AudioFormat {
  double sample_rate_hz = 48000;  ///< Opus: 8000, 12000, 16000, 24000 or 48000; MP3: up to 48000
  int bits = 24;                  ///< 24, or 16 with dither; wav and flac only
  std::string ending = "wav";     ///< one of audio_endings()
  bool loop = false;              ///< marks a WAV file as a loop, in a "smpl" chunk
  AudioTags tags{};
};

/// wav, flac, ogg (Vorbis), opus, mp3.
[[nodiscard]] std::span<const std::string_view> audio_endings() noexcept;

/// Writes a stereo audio file through libsndfile, block by block. 16 bits get triangular dither of two steps' width
/// (Lipshitz, Wannamaker & Vanderkooy, JAES 40/5, 1992; from memory), the same on every run. Nothing in the file
/// depends on the time or on chance. Throws SystemError for a write error, at the latest in close(), and in the
/// constructor for an unknown ending or a sample rate that the format does not support.
class AudioFile final : public FrameSink {
 public:
  AudioFile(const std::string& path, const AudioFormat& format);
  ~AudioFile() override;
  AudioFile(const AudioFile&) = delete;
  AudioFile& operator=(const AudioFile&) = delete;

  void write(const StereoBlock& block) override;
  /// Finishes the file and writes its tags.
  void close();

 private:
  struct State;
  std::unique_ptr<State> state_;
};

}  // namespace romanesca
