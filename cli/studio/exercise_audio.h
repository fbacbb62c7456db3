#pragma once

#include <string>

#include "cli/console.h"
#include "progressions/exercise.h"

namespace romanesca {

/// Writes the sound of an exercise to a .wav, .flac or .mid file: for an ear exercise what the student is to hear, once
/// through; for every other the backing, an exact loop. Chords that the student does not see are left out of the
/// backing.
/// @return a line for a person
[[nodiscard]] std::string write_exercise_audio(const Exercise& exercise, const std::string& path, Console& console);

}  // namespace romanesca
