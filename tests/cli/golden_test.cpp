// The expected output of commands, in tests/golden: command line, output, exit status. ROMANESCA_UPDATE_GOLDEN=1
// rewrites the files; read the difference before you commit it.
#include <gtest/gtest.h>
#include <unistd.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "tests/cli/in_process.h"

namespace romanesca {
namespace {

namespace fs = std::filesystem;

/// Splits a command line at blanks; double quotes are the only quoting.
std::vector<std::string> split(const std::string& line) {
  std::vector<std::string> words;
  std::string word;
  bool quoted = false;
  bool any = false;
  for (const char c : line) {
    if (c == '"') {
      quoted = !quoted;
      any = true;
    } else if (c == ' ' && !quoted) {
      if (any) words.push_back(word);
      word.clear();
      any = false;
    } else {
      word += c;
      any = true;
    }
  }
  if (any) words.push_back(word);
  return words;
}

/// Runs a command. @param data folder of the record, shared by all commands of a file; replaced by DATA
std::string output_of(const std::string& command, const fs::path& data) {
  std::vector<std::string> words = split(command);
  words.erase(words.begin());
  const test::Outcome outcome = test::run_in_process(words, "", {}, data);
  std::ostringstream text;
  text << "$ " << command << "\n" << outcome.out << outcome.err << "[status " << outcome.status << "]\n";
  std::string shown = text.str();
  for (std::size_t at = shown.find(data.string()); at != std::string::npos; at = shown.find(data.string())) {
    shown.replace(at, data.string().size(), "DATA");
  }
  return shown;
}

TEST(Golden, EveryCase) {
  const fs::path folder = fs::path(SOURCE_ROOT) / "tests/golden";
  fs::current_path(folder);
  const fs::path data = fs::temp_directory_path() / ("romanesca-golden-" + std::to_string(getpid()));
  int cases = 0;
  for (const auto& entry : fs::directory_iterator(folder)) {
    if (entry.path().extension() != ".golden") continue;
    std::ifstream file(entry.path());
    std::stringstream expected;
    expected << file.rdbuf();
    std::string all;
    fs::remove_all(data);
    std::istringstream lines(expected.str());
    for (std::string line; std::getline(lines, line);) {
      if (line.starts_with("$ ")) all += output_of(line.substr(2), data);
    }
    if (std::getenv("ROMANESCA_UPDATE_GOLDEN") != nullptr) std::ofstream(entry.path()) << all;
    EXPECT_EQ(all, expected.str()) << entry.path().filename();
    ++cases;
  }
  fs::remove_all(data);
  EXPECT_GE(cases, 7);
}

}  // namespace
}  // namespace romanesca
