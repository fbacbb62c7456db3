#pragma once

#include <cstdint>
#include <string>

namespace romanesca {

/// Metadata of an audio file. Empty fields are not written.
struct AudioTags {
  std::string title, artist, comment;  ///< UTF-8
  double tempo_bpm = 0;                ///< written as the nearest whole number; 0 for none
  std::string key;                     ///< as media players show it: "Eb", "Cm"

  [[nodiscard]] bool empty() const {
    return title.empty() && artist.empty() && comment.empty() && tempo_bpm <= 0 && key.empty();
  }
};

/// Writes the tags into a finished file, by TagLib: ID3v2 in WAV and MP3, Vorbis comments in FLAC, Ogg and Opus. Tempo
/// and key are the properties BPM and INITIALKEY. Throws SystemError. @param ending one of audio_endings(), since the
/// file may have a temporary name.
void write_tags(const std::string& path, const std::string& ending, const AudioTags& tags);

/// Marks all of a finished WAV file as an endless loop: a "smpl" chunk after the samples
/// (Multimedia Programming Interface and Data Specifications 1.0 and its New Multimedia Data Types; from memory).
/// Throws SystemError.
void mark_wav_loop(const std::string& path, std::int64_t sample_rate_hz, std::int64_t frames);

}  // namespace romanesca
