#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "cli/studio/record/student.h"
#include "theory/chords/key.h"
#include "theory/text/errors.h"

namespace romanesca {

/// What was heard of a student who played along.
struct PlayAlong {
  std::string piece;  ///< its name; "progression" for typed chords
  Key key;
  std::vector<std::string> report;  ///< sentences
};

/// Writes it into the student's record as a note, shortened to the longest note.
/// @param data folder of the record @param student name or id @param today date of the note
/// @return the student's name; errors as Store and student_named
[[nodiscard]] Result<std::string> note_play_along(const std::filesystem::path& data, const std::string& student,
                                                  const PlayAlong& playing, const Date& today);

}  // namespace romanesca
