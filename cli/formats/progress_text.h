#pragma once

#include <string>
#include <vector>

#include "cli/studio/record/student.h"
#include "progressions/skill_path.h"

namespace romanesca {

/// What a student is sure of, what is growing and what comes, in words. @param today for what is due
[[nodiscard]] std::string progress_text(const Student& student, const std::vector<SkillState>& states, int today,
                                        int width);

/// The same as a page for parents: one HTML file without script, which loads nothing. Numbers of boxes and days are for
/// the teacher and stay out.
[[nodiscard]] std::string progress_page(const Student& student, const std::vector<SkillState>& states,
                                        const Date& date);

/// The same as a JSON object: skills with stage, times, box and the days until they are due.
[[nodiscard]] std::string progress_json(const Student& student, const std::vector<SkillState>& states, int today);

}  // namespace romanesca
