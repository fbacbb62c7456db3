#pragma once

#include <filesystem>
#include <functional>
#include <optional>
#include <span>
#include <string_view>

#include "theory/text/errors.h"

namespace romanesca {

/// The demuxer of the system's ffmpeg for a file that libsndfile does not read, by its ending: m4a, mp4, aac, webm, wma
/// and others. Nothing for other endings: what a file holds is not guessed, since some formats name other files or
/// addresses to be read.
[[nodiscard]] std::optional<std::string_view> external_format(std::string_view ending);

/// The ffmpeg that is found first in the folders of PATH that are absolute; empty if there is none.
[[nodiscard]] std::filesystem::path external_decoder();

/// Runs ffmpeg, without a shell and with no protocol but files and pipes, and reads what it writes to a pipe: one
/// channel of floats at that rate. Its messages are not shown. Ends it where @p use returns false, and after Ctrl-C.
/// @param use is called with each block
/// @return file_refused where it cannot be started or ends with an error, interrupted after Ctrl-C
[[nodiscard]] Status decode_externally(const std::filesystem::path& program, const std::filesystem::path& file,
                                       std::string_view format, int sample_rate_hz,
                                       const std::function<bool(std::span<const float>)>& use);

}  // namespace romanesca
