#pragma once

#include "cli/studio/record/student.h"
#include "progressions/lesson_plan.h"

namespace romanesca {

/// What the plan of the next lesson needs to know of a student: each task of the history with how it went (the latest
/// word holds), in the order of the dates, then of the numbers.
[[nodiscard]] Learner learner_of(const StudentRecord& record);

/// The seed of a plan for a day where none is given, 1 to 9999: another one for another student, day or entry (number,
/// date, kind, exercise, the entry that it answers). The profile has no part in it.
[[nodiscard]] std::uint64_t plan_seed(const StudentRecord& record, const Date& day);

}  // namespace romanesca
