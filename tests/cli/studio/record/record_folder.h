#pragma once

#include <gtest/gtest.h>
#include <unistd.h>

#include <chrono>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>
#include <vector>

#include "cli/errors.h"
#include "cli/studio/record/record_file.h"
#include "cli/studio/record/store.h"
#include "tests/cli/in_process.h"

namespace romanesca::test {

/// The record in a folder. Throws Failure.
inline Store opened(const std::filesystem::path& folder, std::chrono::milliseconds timeout = std::chrono::seconds(10)) {
  return value_or_throw(Store::open(folder, timeout));
}

inline std::string bytes_of(const std::filesystem::path& file) {
  std::ifstream in(file, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

inline void put_bytes(const std::filesystem::path& file, const std::string& bytes) {
  std::ofstream(file, std::ios::binary) << bytes;
}

/// A folder in memory if the system has one: these tests sync to disk thousands of times.
inline std::filesystem::path fast_folder() {
  return access("/dev/shm", W_OK | X_OK) == 0 ? "/dev/shm" : std::filesystem::temp_directory_path();
}

/// A test with its own data folder. `student` runs the program's command of that name.
class RecordFolder : public testing::Test {
 protected:
  void SetUp() override {
    const auto* const test = testing::UnitTest::GetInstance()->current_test_info();
    base_ = fast_folder() / (std::string("romanesca-record-") + test->name() + std::to_string(getpid()));
    std::filesystem::remove_all(base_);
    std::filesystem::create_directories(base_);
    data_ = base_ / "romanesca";
  }
  void TearDown() override { std::filesystem::remove_all(base_); }

  [[nodiscard]] Outcome student(std::vector<std::string> words, const std::string& typed = "",
                                bool terminal = false) const {
    words.insert(words.begin(), "student");
    return run_in_process(words, typed, {}, data_, terminal);
  }
  /// The same, expected to succeed. @return standard output
  std::string done(const std::vector<std::string>& words) const {
    const Outcome outcome = student(words);
    EXPECT_EQ(outcome.status, 0) << outcome.err;
    return outcome.out;
  }
  [[nodiscard]] std::filesystem::path file() const { return data_ / record_file_name; }

  std::filesystem::path base_;  ///< for other files
  std::filesystem::path data_;  ///< does not exist at first
};

inline Date day(int month, int number) {
  return {std::chrono::year(2026), std::chrono::month(static_cast<unsigned>(month)),
          std::chrono::day(static_cast<unsigned>(number))};
}

inline Profile named(const std::string& name) {
  Profile profile;
  profile.name = name;
  return profile;
}

inline Entry noted(const std::string& text) {
  Entry entry;
  entry.date = day(11, 20);
  entry.text = text;
  return entry;
}

}  // namespace romanesca::test
