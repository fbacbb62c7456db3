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

/// How a run of the program ended.
struct Ended {
  int status = 0;  ///< its exit status, or 1000 and the signal that killed it
  std::string out, err;
};

/// A folder of songs in which the program itself is run as its own process, with faults.
class FaultyRun : public testing::Test {
 public:
  void SetUp() override {
    folder_ = fs::temp_directory_path() / ("romanesca-faults-" + std::to_string(getpid()));
    fs::remove_all(folder_);
    fs::create_directories(folder_ / "room");
    fs::create_directories(folder_ / "home");
    put("song.txt", "title: Lantern Walk\n| C | Am | F | G7 |\n");
  }
  void TearDown() override { fs::remove_all(folder_); }

  [[nodiscard]] fs::path room() const { return folder_ / "room"; }
  void put(const std::string& name, const std::string& text) const {
    std::ofstream(room() / name, std::ios::binary) << text;
  }

  /// Starts the program in the room. @param prepare called in the child before it becomes the program
  [[nodiscard]] pid_t start(const std::vector<std::string>& arguments,
                            const std::function<void()>& prepare = {}) const {
    const pid_t child = fork();
    if (child != 0) return child;
    std::vector<std::string> words{PROGRAM_PATH};
    words.insert(words.end(), arguments.begin(), arguments.end());
    std::vector<char*> pointers;
    for (std::string& word : words) pointers.push_back(word.data());
    pointers.push_back(nullptr);
    const bool moved = chdir(room().c_str()) == 0 && std::freopen("/dev/null", "r", stdin) != nullptr &&
                       std::freopen((folder_ / "out").c_str(), "w", stdout) != nullptr &&
                       std::freopen((folder_ / "err").c_str(), "w", stderr) != nullptr;
    setenv("XDG_DATA_HOME", (folder_ / "home").c_str(), 1);
    setenv("XDG_CONFIG_HOME", (folder_ / "none").c_str(), 1);
    if (prepare) prepare();
    if (moved) execv(words.front().c_str(), pointers.data());
    _exit(126);
  }
  [[nodiscard]] Ended end(pid_t child) const {
    int status = 0;
    waitpid(child, &status, 0);
    return ended(status);
  }
  [[nodiscard]] Ended ended(int status) const {
    return {WIFEXITED(status) ? WEXITSTATUS(status) : 1000 + WTERMSIG(status), contents_of(folder_ / "out"),
            contents_of(folder_ / "err")};
  }
  [[nodiscard]] Ended run(const std::vector<std::string>& arguments, const std::function<void()>& prepare = {}) const {
    return end(start(arguments, prepare));
  }

  /// The files of the room and what is in them.
  [[nodiscard]] std::map<std::string, std::string> files() const {
    std::map<std::string, std::string> all;
    for (const auto& entry : fs::recursive_directory_iterator(room())) {
      if (entry.is_regular_file()) all[fs::relative(entry.path(), room()).string()] = contents_of(entry.path());
    }
    return all;
  }

  fs::path folder_;
};

/// A limit of the kernel for the program: soft and hard.
inline void limit(int resource, rlim_t value) {
  const rlimit both{value, value};
  setrlimit(static_cast<__rlimit_resource>(resource), &both);
}

/// The commands that write a file, each with the file's name.
struct Writing {
  std::vector<std::string> arguments;
  std::string file;
};
inline std::vector<Writing> writing_commands() {
  std::vector<Writing> all;
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
