#pragma once

#include <span>
#include <string>

#include "cli/formats/chords_json.h"
#include "progressions/exercise.h"

namespace romanesca {

/// One exercise. @param choice "A" for the first of a set
[[nodiscard]] OrderedJson exercise_json(const Exercise& exercise, const std::string& choice, bool answers);

/// {"schema":1,"exercises":[...]} as text with a line end. Chords that the student does not see are "?" unless
/// @p answers asks for the answer key too.
[[nodiscard]] std::string exercises_json(std::span<const Exercise> exercises, bool answers);

/// {"schema":1,"right":true,"holds":[...],"not_yet":[...],"to_hear":[...],"encouragement":"..."}
[[nodiscard]] std::string check_json(const ExerciseCheck& check);

/// {"schema":1,"exercises":[{"id":...,"kind":...,"levels":[1,8],...}]}
[[nodiscard]] std::string kinds_json(std::span<const ExerciseKind* const> kinds);

/// What each level adds.
[[nodiscard]] std::string level_steps_json();

}  // namespace romanesca
