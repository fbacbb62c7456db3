#pragma once

#include <gtest/gtest.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <csignal>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <functional>
#include <iterator>
#include <map>
#include <string>
#include <vector>

namespace romanesca::test {

namespace fs = std::filesystem;

inline std::string contents_of(const fs::path& path) {
  std::ifstream file(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(file), {}};
}

/// Result of a run of the program.
struct RunResult {
  int status = 0;  ///< exit status, or 1000 plus the signal that killed it
  std::string out, err;
};

/// A folder of songs in which the program runs as its own process, with faults injected.
class FaultyRun : public testing::Test {
 public:
  void SetUp() override {
    folder_ = fs::temp_directory_path() / ("romanesca-faults-" + std::to_string(getpid()));
    fs::remove_all(folder_);
    fs::create_directories(folder_ / "work");
    fs::create_directories(folder_ / "home");
    put("song.txt", "title: Lantern Walk\n| C | Am | F | G7 |\n");
  }
  void TearDown() override { fs::remove_all(folder_); }

  [[nodiscard]] fs::path work_folder() const { return folder_ / "work"; }
  void put(const std::string& name, const std::string& text) const {
    std::ofstream(work_folder() / name, std::ios::binary) << text;
  }

  /// Starts the program in the work folder. @param prepare called in the child before exec
  [[nodiscard]] pid_t start(const std::vector<std::string>& arguments,
                            const std::function<void()>& prepare = {}) const {
    const pid_t child = fork();
    if (child != 0) return child;
    std::vector<std::string> words{PROGRAM_PATH};
    words.insert(words.end(), arguments.begin(), arguments.end());
    std::vector<char*> pointers;
    for (std::string& word : words) pointers.push_back(word.data());
    pointers.push_back(nullptr);
    const bool moved = chdir(work_folder().c_str()) == 0 && std::freopen("/dev/null", "r", stdin) != nullptr &&
                       std::freopen((folder_ / "out").c_str(), "w", stdout) != nullptr &&
                       std::freopen((folder_ / "err").c_str(), "w", stderr) != nullptr;
    setenv("XDG_DATA_HOME", (folder_ / "home").c_str(), 1);
    setenv("XDG_CONFIG_HOME", (folder_ / "none").c_str(), 1);
    if (prepare) prepare();
    if (moved) execv(words.front().c_str(), pointers.data());
    _exit(126);
  }
  [[nodiscard]] RunResult wait_for(pid_t child) const {
    int status = 0;
    waitpid(child, &status, 0);
    return result_of(status);
  }
  [[nodiscard]] RunResult result_of(int status) const {
    return {WIFEXITED(status) ? WEXITSTATUS(status) : 1000 + WTERMSIG(status), contents_of(folder_ / "out"),
            contents_of(folder_ / "err")};
  }
  [[nodiscard]] RunResult run(const std::vector<std::string>& arguments,
                              const std::function<void()>& prepare = {}) const {
    return wait_for(start(arguments, prepare));
  }

  /// The files of the work folder and their contents.
  [[nodiscard]] std::map<std::string, std::string> files() const {
    std::map<std::string, std::string> all;
    for (const auto& entry : fs::recursive_directory_iterator(work_folder())) {
      if (entry.is_regular_file()) all[fs::relative(entry.path(), work_folder()).string()] = contents_of(entry.path());
    }
    return all;
  }

  fs::path folder_;
};

/// Sets a resource limit of the kernel, soft and hard.
inline void limit(int resource, rlim_t value) {
  const rlimit both{value, value};
  setrlimit(static_cast<__rlimit_resource>(resource), &both);
}

/// A command that writes a file.
struct WritingCommand {
  std::vector<std::string> arguments;
  std::string file;
};
inline std::vector<WritingCommand> writing_commands() {
  std::vector<WritingCommand> all;
  for (const char* file : {"x.pdf", "x.png", "x.svg", "x.musicxml", "x.txt", "x.json"}) {
    all.push_back({{"chart", "song.txt", "--out", file}, file});
  }
  for (const char* file : {"x.txt", "x.json"}) {
    all.push_back({{"analyse", "song.txt", "--out", file}, file});
    all.push_back({{"transpose", "song.txt", "--key", "D", "--out", file}, file});
  }
  for (const char* file : {"x.wav", "x.flac", "x.ogg", "x.opus", "x.mp3", "x.mid"}) {
    all.push_back({{"render", "song.txt", "--tempo", "400", "--out", file}, file});
  }
  for (const char* file : {"x.pdf", "x.wav", "x.mid"}) {
    all.push_back({{"exercise", "--id", "few-notes", "--out", file}, file});
  }
  all.push_back({{"handout", "song.txt", "--student", "Mira", "--out", "x.html"}, "x.html"});
  all.push_back({{"student", "export", "--out", "x.json"}, "x.json"});
  all.push_back({{"student", "export", "--out", "x.csv"}, "x.csv"});
  return all;
}

}  // namespace romanesca::test
