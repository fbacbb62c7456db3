#pragma once

#include <string>
#include <vector>

#include "cli/console.h"
#include "theory/notes/key.h"

namespace romanesca {

/// Throws Failure for a student who is not in the record.
void check_student(const std::string& name, const Console& console);

/// Writes what was heard into the student's record, as a note of today.
void note_in_record(const std::string& student, const std::string& piece, const Key& key,
                    const std::vector<std::string>& report, Console& console);

}  // namespace romanesca
