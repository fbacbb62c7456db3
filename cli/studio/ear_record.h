#pragma once

#include <string>
#include <vector>

#include "cli/studio/record/student.h"
#include "progressions/exercise.h"

namespace romanesca {

/// A checked answer as an entry of the student's record: done or missed, with what was taken for what in its text.
[[nodiscard]] Entry entry_of_check(const Exercise& exercise, const ExerciseCheck& check, const Date& date);

/// The words that a student confused in this kind of exercise, the latest first, each once: those of the last three
/// answers that were written down.
[[nodiscard]] std::vector<std::string> confused_words(const std::vector<Entry>& entries, const std::string& exercise);

}  // namespace romanesca
