#pragma once

#include <cstdint>
#include <string>

namespace romanesca {

/// Says in a finished WAV file that all of it is one loop that goes on for ever: a "smpl" chunk behind the sound
/// (Multimedia Programming Interface and Data Specifications 1.0 and its New Multimedia Data Types; from memory).
/// Throws SystemError.
void mark_wav_loop(const std::string& path, std::int64_t sample_rate_hz, std::int64_t frames);

}  // namespace romanesca
