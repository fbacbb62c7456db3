// The collection in tests/bad_input: wrong command lines of every kind, each with its standard error and exit status. A
// file is a script that runs in its own folder: "+ LINE" sets something up, "$ LINE" is a case, followed by standard
// error and "[status]". Lines are run by sh; without ROMANESCA_THOROUGH=1, a line that needs nothing of a shell but its
// quotes is run by a copy of the test's own process, which is much sooner ready. ROMANESCA_UPDATE_GOLDEN=1 rewrites the
// files; read the difference.
#include <gtest/gtest.h>
#include <sys/wait.h>
#include <unistd.h>
#include <wordexp.h>

#include <algorithm>
#include <array>
#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <iterator>
#include <set>
#include <sstream>
#include <vector>

#include "cli/program.h"
#include "tests/sweep.h"

namespace {

namespace fs = std::filesystem;

struct RunResult {
  int status = 0;
  std::string error;   ///< standard error, with the folder's name replaced by HERE
  std::string output;  ///< standard output
};

std::string contents(const fs::path& path) {
  std::ifstream file(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(file), {}};
}

/// A folder in which lines run as a user other than root, so that file permissions apply to them.
class Sandbox {
 public:
  Sandbox() : folder_(fs::temp_directory_path() / ("romanesca-collection-" + std::to_string(getpid()))) {
    fs::remove_all(folder_);
    fs::create_directories(folder_ / "here/home");
    fs::create_directories(folder_ / "bin");
    fs::copy_file(PROGRAM_PATH, folder_ / "bin/romanesca");
    if (getuid() != 0) return;
    for (const char* each : {"", "here", "here/home"}) {
      EXPECT_EQ(chown((folder_ / each).c_str(), nobody, nobody), 0);
    }
  }
  ~Sandbox() {
    std::error_code ignored;
    fs::remove_all(folder_, ignored);
  }
  Sandbox(const Sandbox&) = delete;
  Sandbox& operator=(const Sandbox&) = delete;

  [[nodiscard]] RunResult run(const std::string& line) const {
    const pid_t child = fork();
    if (child == 0) {
      if (move_in()) run_line(line);
      _exit(127);
    }
    int status = 0;
    waitpid(child, &status, 0);
    RunResult result{WIFEXITED(status) ? WEXITSTATUS(status) : 1000 + WTERMSIG(status), contents(folder_ / "error"),
                     contents(folder_ / "output")};
    const std::string here = (folder_ / "here").string();
    for (std::size_t at = result.error.find(here); at != std::string::npos; at = result.error.find(here)) {
      result.error.replace(at, here.size(), "HERE");
    }
    return result;
  }
  [[nodiscard]] std::set<std::string> files() const {
    std::set<std::string> names;
    for (const auto& entry : fs::recursive_directory_iterator(folder_ / "here")) names.insert(entry.path().string());
    return names;
  }

 private:
  static constexpr uid_t nobody = 65534;

  /// This process from now on: another user, in the folder, with files as its outputs. @return whether that worked
  [[nodiscard]] bool move_in() const {
    if (getuid() == 0 && (setgid(nobody) != 0 || setuid(nobody) != 0)) return false;
    return chdir((folder_ / "here").c_str()) == 0 && std::freopen("/dev/null", "r", stdin) != nullptr &&
           std::freopen((folder_ / "output").c_str(), "w", stdout) != nullptr &&
           std::freopen((folder_ / "error").c_str(), "w", stderr) != nullptr;
  }

  void run_line(const std::string& line) const {
    const std::string here = (folder_ / "here").string();
    // Keep the sanitizers' reports on font libraries out of the messages, and fontconfig's cache out of the files.
    std::array<std::string, 7> set{"PATH=" + (folder_ / "bin").string() + ":/usr/bin:/bin",
                                   "HOME=" + here + "/home",
                                   "XDG_CACHE_HOME=" + (folder_ / "cache").string(),
                                   "LC_ALL=C.UTF-8",
                                   "ASAN_OPTIONS=detect_leaks=0",
                                   "TSAN_OPTIONS=report_bugs=0",
                                   "TZ=UTC"};
    clearenv();
    for (std::string& each : set) putenv(each.data());
    if (!romanesca::test::thorough()) run_here(line, here + "/home");
    execl("/bin/sh", "sh", "-c", line.c_str(), nullptr);
  }

  /// Ends this process as the program would end, if the line consists of words of the program.
  static void run_here(const std::string& line, const fs::path& home) {
    wordexp_t words{};  // refuses lines with pipes, redirections and commands within commands
    if (!line.starts_with("romanesca ") || wordexp(line.c_str(), &words, WRDE_NOCMD) != 0) return;
    const std::vector<std::string> arguments(words.we_wordv + 1, words.we_wordv + words.we_wordc);
    std::signal(SIGXFSZ, SIG_IGN);  // here and below as in cli/main.cpp
    romanesca::Console console{std::cin,
                               std::cout,
                               std::cerr,
                               false,
                               false,
                               false,
                               80,
                               home / ".config/romanesca",
                               home / ".local/share/romanesca",
                               romanesca::local_date()};
    const auto status = romanesca::run_program(arguments, console);
    std::cout.flush();
    std::fflush(nullptr);
    _exit(static_cast<int>(status));
  }

  fs::path folder_;
};

/// Fails if the message has words that only a programmer understands.
void expect_plain(const std::string& message) {
  for (const char* word : {"std::", "basic_string", "exception", "sqlite", "SQLITE", "json", "toml::", "CLI", "nullptr",
                           "terminate", "assert", "0x", "should not", "fault of the program"}) {
    const std::string::size_type at = message.find(word);
    // A file's ending or an option may contain the word.
    const bool of_a_file = at != std::string::npos && at > 0 && (message[at - 1] == '.' || message[at - 1] == '-');
    EXPECT_TRUE(at == std::string::npos || of_a_file) << word << " in\n" << message;
  }
}

/// Today in UTC, as the program writes it: like 2026-11-20.
std::string today() {
  const std::time_t now = std::time(nullptr);
  std::tm parts{};
  gmtime_r(&now, &parts);
  std::array<char, 11> text{};
  std::strftime(text.data(), text.size(), "%Y-%m-%d", &parts);
  return text.data();
}

void expect_useful(const std::string& line, const RunResult& result) {
  EXPECT_TRUE(result.error.starts_with("romanesca: ")) << line << "\n" << result.error;
  EXPECT_NE(result.error.find("\n    "), std::string::npos) << "no hint: " << line << "\n" << result.error;
  EXPECT_TRUE(result.status == 2 || result.status == 3) << line << ": " << result.status;
  EXPECT_EQ(result.output, "") << line;
  expect_plain(result.error);
  EXPECT_EQ(result.error.find(today()), std::string::npos) << "depends on today's date; give --date: " << line << "\n"
                                                           << result.error;
}

/// The script with the present output. @param cases incremented for each case
std::string rerun(const std::string& script, int& cases) {
  const Sandbox sandbox;
  std::string all;
  bool in_case = false;
  std::istringstream lines(script);
  for (std::string line; std::getline(lines, line);) {
    if (line.starts_with("+ ")) {
      EXPECT_EQ(sandbox.run(line.substr(2)).status, 0) << line << sandbox.run(line.substr(2)).error;
      in_case = false;
    }
    if (line.starts_with("$ ")) {
      const auto before = sandbox.files();
      const RunResult result = sandbox.run(line.substr(2));
      EXPECT_EQ(sandbox.files(), before) << line;
      expect_useful(line, result);
      all += line + "\n" + result.error + "[" + std::to_string(result.status) + "]\n";
      in_case = true;
      ++cases;
      continue;
    }
    if (line.empty() || line.starts_with("#")) in_case = in_case && !line.empty() && !line.starts_with("#");
    if (!in_case) all += line + "\n";
  }
  return all;
}

TEST(BadInputCollection, EveryMessageIsAsRecorded) {
  int cases = 0;
  for (const auto& entry : fs::directory_iterator(fs::path(SOURCE_ROOT) / "tests/bad_input")) {
    SCOPED_TRACE(entry.path().filename().string());
    const std::string expected = contents(entry.path());
    const std::string now = rerun(expected, cases);
    if (std::getenv("ROMANESCA_UPDATE_GOLDEN") != nullptr) std::ofstream(entry.path()) << now;
    EXPECT_EQ(now, expected);
  }
  EXPECT_GE(cases, 300);
}

}  // namespace
