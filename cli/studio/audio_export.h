#pragma once

#include <string>

#include "synth/files/audio_file.h"
#include "synth/sound/track_renderer.h"
#include "theory/text/errors.h"

namespace romanesca {

/// Renders a performance to an audio file, whole or not at all.
/// @param soundfont a SoundFont file to play it through; empty for the built-in instruments
/// @param progress is shown how far it is and may stop it
/// @return file_refused, or interrupted when stopped or after Ctrl-C; nothing is left behind then
[[nodiscard]] Result<TrackResult> render_to_file(const Performance& performance, const std::string& soundfont,
                                                 const TrackSettings& settings, const AudioFormat& format,
                                                 const std::string& path, Progress& progress);

}  // namespace romanesca
