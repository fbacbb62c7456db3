#pragma once

#include <string>
#include <vector>

#include "cli/studio/record/student.h"

namespace romanesca {

/// Entries for a person, a line or more each: number, date, kind, exercise, key and text. @param width columns
[[nodiscard]] std::string entries_text(const std::vector<Entry>& entries, int width);

/// A student's songs, a line each: title, newest version, its date.
[[nodiscard]] std::string songs_text(const std::vector<SongVersion>& songs, int width);

/// A student with level, keys and likes, what is open and when was the last entry.
[[nodiscard]] std::string student_text(const StudentRecord& record, int width);

/// All students as a table: id, name, level, open tasks, date of the last entry.
[[nodiscard]] std::string students_text(const std::vector<StudentRecord>& records);

/// What an exercise is: "few-notes in G major, level 3, seed 7"; empty for none.
[[nodiscard]] std::string exercise_text(const Entry& entry);

/// "C, G, A minor": major keys by their tonics.
[[nodiscard]] std::string short_keys(const std::vector<Key>& keys);

}  // namespace romanesca
