#pragma once

#include <gtest/gtest.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>
#include <vector>

#include "cli/web/page_parts.h"
#include "tests/cli/in_process.h"

namespace romanesca::test {

/// A folder for handouts, with its own record of students.
struct HandoutTest : testing::Test {
  std::filesystem::path folder =
      std::filesystem::temp_directory_path() / ("romanesca-handout-" + std::to_string(getpid()));
  void SetUp() override { std::filesystem::create_directories(folder); }
  void TearDown() override { std::filesystem::remove_all(folder); }

  [[nodiscard]] std::string path(const std::string& name) const { return (folder / name).string(); }
  Outcome handout(std::vector<std::string> arguments) const {
    arguments.insert(arguments.begin(), "handout");
    return run_in_process(arguments, "", {}, folder / "data");
  }
  Outcome student(std::vector<std::string> arguments) const {
    arguments.insert(arguments.begin(), "student");
    return run_in_process(arguments, "", {}, folder / "data");
  }
  static std::string read(const std::string& file) {
    std::ifstream stream(file, std::ios::binary);
    return {std::istreambuf_iterator<char>(stream), {}};
  }
  std::string write(const std::string& name, const std::string& text) const {
    std::ofstream(folder / name, std::ios::binary) << text;
    return path(name);
  }
  /// Whether the program was built without a compiler for web pages; if so, checks that handout reports it.
  [[nodiscard]] bool no_page() const {
    if (!lesson_music_module().empty()) return false;
    const Outcome refused = handout({"C G", "--out", path("none.html")});
    EXPECT_EQ(refused.status, 3);
    EXPECT_TRUE(has(refused.err, "this build of the program has no page in it")) << refused.err;
    return true;
  }
  static bool has(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }
};

}  // namespace romanesca::test
