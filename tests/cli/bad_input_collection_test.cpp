// The collection in tests/bad_input: wrong lines of every kind, each with all that the program says to it and its
// status. A file is a script in a folder of its own: "+ LINE" sets something up, "$ LINE" is a case, then come standard
// error and "[status]". The lines are the shell's. ROMANESCA_UPDATE_GOLDEN=1 writes the files anew; read the
// difference.
#include <gtest/gtest.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <set>
#include <sstream>

namespace {

namespace fs = std::filesystem;

struct Said {
  int status = 0;
  std::string error;   ///< standard error, the folder's name written as HERE
  std::string output;  ///< standard output
};

std::string contents(const fs::path& path) {
  std::ifstream file(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(file), {}};
}

/// A folder in which lines run as somebody who is not root, so that files can be kept from them.
class Room {
 public:
  Room() : folder_(fs::temp_directory_path() / ("romanesca-collection-" + std::to_string(getpid()))) {
    fs::remove_all(folder_);
    fs::create_directories(folder_ / "here/home");
    fs::create_directories(folder_ / "bin");
    fs::copy_file(PROGRAM_PATH, folder_ / "bin/romanesca");
    if (getuid() != 0) return;
    for (const char* each : {"", "here", "here/home"}) {
      EXPECT_EQ(chown((folder_ / each).c_str(), nobody, nobody), 0);
    }
  }
  ~Room() {
    std::error_code ignored;
    fs::remove_all(folder_, ignored);
  }
  Room(const Room&) = delete;
  Room& operator=(const Room&) = delete;

  [[nodiscard]] Said run(const std::string& line) const {
    const pid_t child = fork();
    if (child == 0) {
      become(line);
      _exit(127);
    }
    int status = 0;
    waitpid(child, &status, 0);
    Said said{WIFEXITED(status) ? WEXITSTATUS(status) : 1000 + WTERMSIG(status), contents(folder_ / "error"),
              contents(folder_ / "output")};
    const std::string here = (folder_ / "here").string();
    for (std::size_t at = said.error.find(here); at != std::string::npos; at = said.error.find(here)) {
      said.error.replace(at, here.size(), "HERE");
    }
    return said;
  }
  [[nodiscard]] std::set<std::string> files() const {
    std::set<std::string> names;
    for (const auto& entry : fs::recursive_directory_iterator(folder_ / "here")) names.insert(entry.path().string());
    return names;
  }

 private:
  static constexpr uid_t nobody = 65534;

  void become(const std::string& line) const {
    const std::string here = (folder_ / "here").string();
    if (getuid() == 0 && (setgid(nobody) != 0 || setuid(nobody) != 0)) return;
    if (chdir(here.c_str()) != 0) return;
    if (std::freopen("/dev/null", "r", stdin) == nullptr) return;
    if (std::freopen((folder_ / "output").c_str(), "w", stdout) == nullptr) return;
    if (std::freopen((folder_ / "error").c_str(), "w", stderr) == nullptr) return;
    // The sanitizers' own reports, of fonts' libraries, would stand among the messages; what fontconfig keeps where the
    // system's own notes of its fonts are old, among the files.
    const std::array<std::string, 7> set{"PATH=" + (folder_ / "bin").string() + ":/usr/bin:/bin",
                                         "HOME=" + here + "/home",
                                         "XDG_CACHE_HOME=" + (folder_ / "cache").string(),
                                         "LC_ALL=C.UTF-8",
                                         "ASAN_OPTIONS=detect_leaks=0",
                                         "TSAN_OPTIONS=report_bugs=0",
                                         "TZ=UTC"};
    std::array<const char*, 8> environment{};  // ends with a null pointer, as execve wants it
    std::transform(set.begin(), set.end(), environment.begin(), [](const std::string& each) { return each.c_str(); });
    std::array<const char*, 4> words{"sh", "-c", line.c_str(), nullptr};
    execve("/bin/sh", const_cast<char**>(words.data()), const_cast<char**>(environment.data()));  // NOLINT: as C has it
  }

  fs::path folder_;
};

/// What no teacher can do anything with.
void expect_plain(const std::string& said) {
  for (const char* word : {"std::", "basic_string", "exception", "sqlite", "SQLITE", "json", "toml::", "CLI", "nullptr",
                           "terminate", "assert", "0x", "should not", "fault of the program"}) {
    const std::string::size_type at = said.find(word);
    // The ending of a file and an option have the word too.
    const bool of_a_file = at != std::string::npos && at > 0 && (said[at - 1] == '.' || said[at - 1] == '-');
    EXPECT_TRUE(at == std::string::npos || of_a_file) << word << " in\n" << said;
  }
}

/// The day in the room, whose clock is UTC's, as the program writes it: like 2026-11-20.
std::string today() {
  const std::time_t now = std::time(nullptr);
  std::tm parts{};
  gmtime_r(&now, &parts);
  std::array<char, 11> text{};
  std::strftime(text.data(), text.size(), "%Y-%m-%d", &parts);
  return text.data();
}

void expect_useful(const std::string& line, const Said& said) {
  EXPECT_TRUE(said.error.starts_with("romanesca: ")) << line << "\n" << said.error;
  EXPECT_NE(said.error.find("\n    "), std::string::npos) << "no way out: " << line << "\n" << said.error;
  EXPECT_TRUE(said.status == 2 || said.status == 3) << line << ": " << said.status;
  EXPECT_EQ(said.output, "") << line;
  expect_plain(said.error);
  EXPECT_EQ(said.error.find(today()), std::string::npos) << "true today only; give --date: " << line << "\n"
                                                         << said.error;
}

/// The script as it should stand, with what is said now.
std::string played(const std::string& script, int& cases) {
  const Room room;
  std::string all;
  bool of_case = false;
  std::istringstream lines(script);
  for (std::string line; std::getline(lines, line);) {
    if (line.starts_with("+ ")) {
      EXPECT_EQ(room.run(line.substr(2)).status, 0) << line << room.run(line.substr(2)).error;
      of_case = false;
    }
    if (line.starts_with("$ ")) {
      const auto before = room.files();
      const Said said = room.run(line.substr(2));
      EXPECT_EQ(room.files(), before) << line;
      expect_useful(line, said);
      all += line + "\n" + said.error + "[" + std::to_string(said.status) + "]\n";
      of_case = true;
      ++cases;
      continue;
    }
    if (line.empty() || line.starts_with("#")) of_case = of_case && !line.empty() && !line.starts_with("#");
    if (!of_case) all += line + "\n";
  }
  return all;
}

TEST(BadInputCollection, SaysWhatIsWrittenDown) {
  int cases = 0;
  for (const auto& entry : fs::directory_iterator(fs::path(SOURCE_ROOT) / "tests/bad_input")) {
    SCOPED_TRACE(entry.path().filename().string());
    const std::string wanted = contents(entry.path());
    const std::string now = played(wanted, cases);
    if (std::getenv("ROMANESCA_UPDATE_GOLDEN") != nullptr) std::ofstream(entry.path()) << now;
    EXPECT_EQ(now, wanted);
  }
  EXPECT_GE(cases, 300);
}

}  // namespace
