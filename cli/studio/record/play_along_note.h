#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "cli/studio/record/student.h"
#include "progressions/played_skills.h"
#include "theory/chords/key.h"
#include "theory/text/errors.h"

namespace romanesca {

/// What was heard of a student who played along.
struct PlayAlong {
  std::string piece;  ///< its name; "progression" for typed chords
  Key key;
  std::vector<std::string> report;  ///< sentences
  int level = 0;                    ///< at which it was played; 0 for the student's
  ChordsPlayed played;              ///< level and in_another_key are found out; no chords for a line
};

/// What was written down.
struct PlayAlongNoted {
  std::string student;              ///< the name
  std::vector<SkillPlayed> skills;  ///< those of the path that it trained
};

/// Writes it into the student's record: for each skill that went well or badly an entry, done or missed, which the path
/// of skills knows; then the report as a note, shortened to the longest note.
/// @param data folder of the record @param student name or id @param today date of the entries
/// @return errors as Store and student_named; then nothing is written
[[nodiscard]] Result<PlayAlongNoted> note_play_along(const std::filesystem::path& data, const std::string& student,
                                                     const PlayAlong& playing, const Date& today);

}  // namespace romanesca
