#pragma once

#include <string>

#include "cli/console.h"
#include "synth/files/audio_file.h"
#include "synth/sound/track_renderer.h"

namespace romanesca {

/// Renders a performance to an audio file, whole or not at all, with progress on a terminal.
/// @param soundfont a SoundFont file to play it through; empty for the built-in instruments
/// Throws Failure: file_refused, or interrupted after Ctrl-C; nothing is left behind then.
[[nodiscard]] TrackResult render_to_file(const Performance& performance, const std::string& soundfont,
                                         const TrackSettings& settings, const AudioFormat& format,
                                         const std::string& path, Console& console);

}  // namespace romanesca
