#pragma once

#include <cstdint>
#include <functional>
#include <optional>
#include <span>
#include <string>

namespace romanesca {

/// What an audio file says of itself.
struct AudioFileFacts {
  double sample_rate_hz = 0;
  int channels = 0;
  std::int64_t frames = 0;  ///< as stated in the file; damaged files state a wrong number
};

/// Reads an audio file through libsndfile (WAV, FLAC, Ogg, MP3, AIFF and others) as one channel, the mean of all.
/// Samples that are no number count as 0. Throws SystemError for a file that cannot be read.
/// @param begin is called once with the facts, before any samples @param use is called with each block of samples,
/// until it returns false or the file ends
/// @return nothing if the file is of no kind that libsndfile knows, or is damaged at its beginning; else whether it was
/// read to its end
[[nodiscard]] std::optional<bool> read_audio_file(const std::string& path,
                                                  const std::function<void(const AudioFileFacts&)>& begin,
                                                  const std::function<bool(std::span<const float>)>& use);

}  // namespace romanesca
