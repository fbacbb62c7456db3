#pragma once

#include <string>
#include <vector>

#include "cli/studio/record/student.h"
#include "theory/text/errors.h"

namespace romanesca {

/// Reads what record_json (formats) writes. Refuses everything that it would not have written, but for members that may
/// be left out: of a student all but the name, of an entry all but date and kind. An error names the place.
/// @param name the file's name @param today the date for students without one
[[nodiscard]] Parsed<std::vector<StudentRecord>> read_record_json(const std::string& text, const std::string& name,
                                                                  const Date& today);

}  // namespace romanesca
