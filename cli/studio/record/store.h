#pragma once

#include <chrono>
#include <filesystem>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "cli/studio/record/database.h"
#include "cli/studio/record/student.h"

namespace romanesca {

/// The studio's record of students: an SQLite file in a folder. A change is on the disk when its function
/// returns, or was not made at all. Several programs may use the file at once; they wait for each other. All functions
/// give file_refused where the file or the disk refuses; after that the store stays as it is and gives the same error
/// again.
class Store {
 public:
  /// Opens the record, or makes an empty one: see open_record. @param patience how long to wait for other programs
  [[nodiscard]] static Result<Store> open(const std::filesystem::path& folder,
                                          std::chrono::milliseconds patience = std::chrono::seconds(10));

  /// @param today becomes the date since when the student is here
  [[nodiscard]] Result<Student> add(const Profile& profile, const Date& today);
  /// By id.
  [[nodiscard]] Result<std::vector<Student>> students();
  [[nodiscard]] Result<std::vector<StudentRecord>> records();
  /// By number; empty if there is no student with the id.
  [[nodiscard]] Result<std::vector<Entry>> history(std::int64_t student);

  [[nodiscard]] Status change(std::int64_t student, const Profile& profile, const Date& today);
  /// Gives the entry the next number of its student. @return the entry with its number
  [[nodiscard]] Result<Entry> note(std::int64_t student, Entry entry);
  /// The same for several, all or none.
  [[nodiscard]] Status note_all(std::int64_t student, std::vector<Entry> entries);

  /// By title, then by version; empty if there is no student with the id.
  [[nodiscard]] Result<std::vector<SongVersion>> songs(std::int64_t student);
  /// Keeps another version of a song. A title that differs from a known one in case, blanks and hyphens only is that
  /// one.
  /// @param song its version does not matter
  /// @return with its number; nothing where the newest version has the same text
  [[nodiscard]] Result<std::optional<SongVersion>> keep_song(std::int64_t student, SongVersion song);

  /// Removes a student with all entries and songs, also from the free pages of the file and from its log.
  [[nodiscard]] Status remove(std::int64_t student);

  /// Merges all records into the file, or none. Students with a uid that the record knows take the profile and get
  /// the entries and versions of songs that they lack; see merge.h. Others are added, with their own id where it is
  /// free.
  [[nodiscard]] Status put(const std::vector<StudentRecord>& records);

  [[nodiscard]] const std::filesystem::path& file() const noexcept { return database_.file(); }

 private:
  explicit Store(Database database) : database_(std::move(database)) {}
  [[nodiscard]] std::vector<Student> read_students();
  [[nodiscard]] std::vector<Entry> read_history(std::int64_t student);
  [[nodiscard]] std::vector<SongVersion> read_songs(std::int64_t student);
  Entry write(std::int64_t student, Entry entry);
  SongVersion write(std::int64_t student, SongVersion song);
  void write_student(const Student& student);
  [[nodiscard]] Student read_student(const Statement& row);
  [[nodiscard]] Entry read_entry(const Statement& row);

  Database database_;
};

// Which student is meant, for every command that names one: by the whole name as it was written down, or by the id.

/// Empty if unknown. An error if several students have the name, with their ids, levels and days.
[[nodiscard]] Result<std::optional<Student>> find_student(Store& store, const std::string& name);
/// The same; an error also for an unknown name, with the nearest one.
[[nodiscard]] Result<Student> student_named(Store& store, const std::string& name);

}  // namespace romanesca
