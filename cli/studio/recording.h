#pragma once

#include <filesystem>
#include <vector>

#include "theory/text/errors.h"

namespace romanesca {

inline constexpr double longest_recording_s = 15 * 60;

/// Reads a recording as one channel at hearing_rate_hz, full scale 1: by libsndfile, or, for the endings of
/// external_format, by the system's ffmpeg. Nothing of it is kept.
/// @return file_refused for a file that cannot be read, and where ffmpeg would be needed and is not installed;
/// wrong_input for one that is no recording or longer than longest_recording_s; interrupted after Ctrl-C
[[nodiscard]] Result<std::vector<float>> read_recording(const std::filesystem::path& path);

}  // namespace romanesca
