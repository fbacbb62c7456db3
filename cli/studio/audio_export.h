#pragma once

#include <optional>
#include <string>

#include "progressions/exercise.h"
#include "synth/files/audio_file.h"
#include "synth/sound/track_renderer.h"
#include "theory/text/errors.h"

namespace romanesca {

/// The SoundFont that was asked for: a path as it is; for "auto" one of those that this computer has.
/// @return file_refused, with what can be installed, if it has none
[[nodiscard]] Result<std::string> soundfont_given(const std::string& asked);

/// Renders a performance to an audio file, whole or not at all.
/// @param soundfont a SoundFont file to play it through; empty for the built-in instruments
/// @param progress is called with the progress and can stop the rendering
/// @return file_refused, or interrupted when stopped or after Ctrl-C; no file is left then
[[nodiscard]] Result<TrackResult> render_to_file(const Performance& performance, const std::string& soundfont,
                                                 const TrackSettings& settings, const AudioFormat& format,
                                                 const std::string& path, Progress& progress);

/// What was written of an exercise's sound.
struct ExerciseAudio {
  std::optional<TrackResult> track;  ///< nothing for a MIDI file
  double seconds = 0;                ///< of a track
  bool loops = false;                ///< an exact loop; else once through
};

/// Writes the sound of an exercise to a .wav, .flac or .mid file: for an ear exercise what the student is to hear, once
/// through; for every other the backing, an exact loop. Chords that the student does not see are left out of the
/// backing. @param with_models the exercise's models play over the backing. @param soundfont as for render_to_file,
/// whose errors it has.
[[nodiscard]] Result<ExerciseAudio> write_exercise_audio(const Exercise& exercise, const std::string& path,
                                                         Progress& progress, bool with_models = false,
                                                         const std::string& soundfont = {});

}  // namespace romanesca
