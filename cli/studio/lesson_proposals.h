#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "cli/studio/own_settings.h"
#include "cli/studio/record/student.h"
#include "progressions/exercise.h"
#include "progressions/lesson_plan.h"

namespace romanesca {

/// One of the choices for the next lesson, with its exercise.
struct LessonChoice {
  std::string letter;  ///< "A"
  Proposal proposal;
  Exercise exercise;
};

/// What to choose from in the next lesson. An error for own levels that cannot be read.
/// @param seed another number, other choices @param configuration see own_settings.h @param today for what is due;
/// nothing where it does not matter
[[nodiscard]] Result<std::vector<LessonChoice>> lesson_choices(const StudentRecord& record, std::uint64_t seed,
                                                               const std::filesystem::path& configuration,
                                                               const std::optional<Date>& today = {});

/// The choice as an entry of the student's record.
[[nodiscard]] Entry entry_of(const LessonChoice& choice, const Date& date);

/// What the plan of the next lesson needs to know of a student: each task of the history with how it went (the latest
/// word holds), in the order of the dates, then of the numbers.
[[nodiscard]] Learner learner_of(const StudentRecord& record, const std::optional<Date>& today = {});

/// The seed of a plan for a day where none is given, 1 to 9999: another one for another student, day or entry (number,
/// date, kind, exercise, the entry that it answers). The profile has no part in it.
[[nodiscard]] std::uint64_t plan_seed(const StudentRecord& record, const Date& day);

}  // namespace romanesca
