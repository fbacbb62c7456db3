#pragma once

#include <cstdint>
#include <string>

namespace romanesca {

/// What an audio file says about itself. Nothing is written for what is empty.
struct AudioTags {
  std::string title, artist, comment;  ///< UTF-8
  double tempo_bpm = 0;                ///< written as the nearest whole number; 0 for none
  std::string key;                     ///< as players show it: "Eb", "Cm"

  [[nodiscard]] bool empty() const {
    return title.empty() && artist.empty() && comment.empty() && tempo_bpm <= 0 && key.empty();
  }
};

/// Writes them into a finished file, by TagLib: ID3v2 in WAV and MP3, Vorbis comments in FLAC, Ogg and Opus. Tempo and
/// key are the properties BPM and INITIALKEY. Throws SystemError. @param ending one of audio_endings(), since the file
/// may bear a temporary name.
void write_tags(const std::string& path, const std::string& ending, const AudioTags& tags);

/// Says in a finished WAV file that all of it is one loop that goes on for ever: a "smpl" chunk behind the sound
/// (Multimedia Programming Interface and Data Specifications 1.0 and its New Multimedia Data Types; from memory).
/// Throws SystemError.
void mark_wav_loop(const std::string& path, std::int64_t sample_rate_hz, std::int64_t frames);

}  // namespace romanesca
