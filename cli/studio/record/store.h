#pragma once

#include <chrono>
#include <filesystem>
#include <vector>

#include "cli/studio/record/database.h"
#include "cli/studio/record/student.h"

namespace romanesca {

/// The studio's record of students: an SQLite file in a folder. What a function has done when it returns is on the
/// disk and stays there; what it could not do whole it has not done at all. Several programs may use it at once: they
/// wait for each other. All functions throw Failure (file_refused) where the file or the disk refuses.
class Store {
 public:
  /// Opens the record, or makes an empty one: see open_record. @param patience how long to wait for other programs
  explicit Store(const std::filesystem::path& folder, std::chrono::milliseconds patience = std::chrono::seconds(10));

  /// @param today becomes the date since when the student is here
  Student add(const Profile& profile, const Date& today);
  /// By id.
  [[nodiscard]] std::vector<Student> students();
  [[nodiscard]] std::vector<StudentRecord> records();
  /// By number; of nobody, if there is no student with the id.
  [[nodiscard]] std::vector<Entry> history(std::int64_t student);

  void change(std::int64_t student, const Profile& profile, const Date& today);
  /// Gives the entry the next number of its student. @return the entry with its number
  Entry note(std::int64_t student, Entry entry);

  /// Removes a student with all entries, from the file's unused places and its log too.
  void remove(std::int64_t student);

  /// Puts all of it into the record, or nothing. Students with a mark that the record knows take the profile and get
  /// the entries that they lack; see merge.h. Others are added, with their own id where it is free.
  void put(const std::vector<StudentRecord>& records);

  [[nodiscard]] const std::filesystem::path& file() const noexcept { return database_.file(); }

 private:
  Entry write(std::int64_t student, Entry entry);
  void write_student(const Student& student);
  [[nodiscard]] Student read_student(const Statement& row);
  [[nodiscard]] Entry read_entry(const Statement& row);

  Database database_;
};

}  // namespace romanesca
