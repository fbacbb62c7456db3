#pragma once

#include <optional>
#include <string>

#include "progressions/exercise.h"
#include "synth/sound/track_renderer.h"
#include "theory/text/errors.h"

namespace romanesca {

/// What was written of an exercise's sound.
struct ExerciseAudio {
  std::optional<TrackResult> track;  ///< nothing for a MIDI file
  double seconds = 0;                ///< of a track
  bool loops = false;                ///< an exact loop; else once through
};

/// Writes the sound of an exercise to a .wav, .flac or .mid file: for an ear exercise what the student is to hear, once
/// through; for every other the backing, an exact loop. Chords that the student does not see are left out of the
/// backing. Errors as render_to_file.
[[nodiscard]] Result<ExerciseAudio> write_exercise_audio(const Exercise& exercise, const std::string& path,
                                                         Progress& progress);

}  // namespace romanesca
