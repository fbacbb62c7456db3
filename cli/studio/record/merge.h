#pragma once

#include <string>
#include <vector>

#include "cli/studio/record/student.h"

namespace romanesca {

/// The student with this uid, or nothing.
[[nodiscard]] const Student* with_uid(const std::vector<Student>& students, const std::string& uid);

/// The entries of @p incoming that @p present lacks, with the numbers that they get when they are written after it.
/// Two entries are the same if all but their number and what they answer is; an entry that is there twice is kept
/// twice. What a new entry answers is numbered anew.
[[nodiscard]] std::vector<Entry> lacking(const std::vector<Entry>& present, const std::vector<Entry>& incoming);

/// The versions of songs whose title and text @p present lacks, in their order.
[[nodiscard]] std::vector<SongVersion> lacking(const std::vector<SongVersion>& present,
                                               const std::vector<SongVersion>& incoming);

/// What an import is going to do.
struct Merge {
  std::vector<StudentRecord> records;  ///< to be put into the store
  std::vector<std::string> report;     ///< a line for each student, for the teacher
};

/// Merges students from a file into the record. Students are the same if their uids are; then the profile that was
/// changed later holds, on the same day the record's, and the entries and songs of both are kept.
[[nodiscard]] Merge merged(const std::vector<StudentRecord>& present, const std::vector<StudentRecord>& incoming);

}  // namespace romanesca
