// A signal at every stage of every command that writes: the file is then the old one or the whole new one, and nothing
// else lies about. The kernel stops the program at its system calls, so the moments are the same on every machine.
#include <sys/ptrace.h>

#include <array>

#include "tests/cli/faults/faulty_run.h"
#include "tests/sanitized.h"

namespace romanesca::test {
namespace {

/// Of each command; fewer where a sanitizer slows every start.
#if defined(ROMANESCA_SANITIZED)
constexpr int moments = 6;
#else
constexpr int moments = 40;
#endif

class Signals : public FaultyRun {
 protected:
  void SetUp() override {
    FaultyRun::SetUp();
    ASSERT_EQ(run({"student", "add", "Mira"}).status, 0);
  }

  /// Runs until the main thread's stop number @p at, sends the signal there and lets it end.
  /// @return how it ended; @p stops counts them all
  Ended run_until(const std::vector<std::string>& arguments, int at, int signal, int& stops) const {
    setenv("ASAN_OPTIONS", "detect_leaks=0", 1);  // which cannot look while somebody else stops the program
    const pid_t child = start(arguments, [] { ptrace(PTRACE_TRACEME, 0, nullptr, nullptr); });
    int status = 0;
    int passed_on = 0;
    stops = 0;
    waitpid(child, &status, 0);  // at its exec
    while (WIFSTOPPED(status)) {
      if (stops++ == at) passed_on = signal;
      ptrace(PTRACE_SYSCALL, child, nullptr, passed_on);
      waitpid(child, &status, 0);
      passed_on = WIFSTOPPED(status) && WSTOPSIG(status) != SIGTRAP ? WSTOPSIG(status) : 0;
    }
    return ended(status);
  }

  /// The record as an export shows it.
  [[nodiscard]] std::string record() const {
    const Ended exported = run({"student", "export"});
    EXPECT_EQ(exported.status, 0) << exported.err;
    return exported.out;
  }
  void put_record_back() const {
    fs::remove_all(folder_ / "home");
    fs::copy(folder_ / "home-before", folder_ / "home", fs::copy_options::recursive);
  }

  /// A signal at every stage of a command that changes the record and perhaps writes files: the record is then the old
  /// or the new one, each file is whole or not there, and what the record says was accepted has its files.
  void sweep_record(const std::vector<std::string>& arguments, const std::vector<std::string>& written) {
    const auto old_files = files();
    const std::string old = record();
    int all = 0;
    ASSERT_EQ(run_until(arguments, -1, 0, all).status, 0) << arguments[1];
    const auto whole_files = files();
    const std::string whole = record();
    ASSERT_NE(old, whole) << arguments[1];
    int before = 0;
    for (int moment = 0; moment < moments; ++moment) {
      put_record_back();
      for (const std::string& file : written) fs::remove(room() / file);
      const std::array<int, 4> signals{SIGINT, SIGKILL, SIGTERM, SIGHUP};
      const int signal = signals[static_cast<std::size_t>(moment) % signals.size()];
      int ignored = 0;
      // Closer and closer together towards the end, where the record is written.
      const double left = 1 - static_cast<double>(moment) / moments;
      const int at = static_cast<int>(all * (1 - left * left * left));
      const Ended ended = run_until(arguments, at, signal, ignored);
      const std::string now = record();
      EXPECT_TRUE(now == old || now == whole) << arguments[1] << " at " << moment << "\n" << now;
      if (ended.status == 0) {
        EXPECT_EQ(now, whole) << arguments[1] << " at " << moment;
      }
      if (now == old) ++before;
      for (const auto& [name, bytes] : files()) {
        if (signal == SIGKILL && name.ends_with(".part")) {
          fs::remove(room() / name);  // nobody can tidy up then
          continue;
        }
        ASSERT_EQ(whole_files.count(name), 1U) << name << " at " << moment;
        EXPECT_TRUE(bytes == whole_files.at(name)) << name << " at " << moment;
      }
      for (const std::string& file : written) EXPECT_TRUE(now == old || files().count(file) == 1) << file;
    }
    EXPECT_GT(before, 0) << arguments[1];
    EXPECT_LT(before, moments) << arguments[1];
    put_record_back();
    for (const std::string& file : written) fs::remove(room() / file);
    EXPECT_EQ(files(), old_files);
  }

  void sweep(const Writing& command) {
    int all = 0;
    ASSERT_EQ(run_until(command.arguments, -1, 0, all).status, 0) << command.arguments[0];
    const auto whole = files();
    put(command.file, "precious");
    const auto old = files();
    int stopped = 0;
    for (int moment = 0; moment < moments; ++moment) {
      put(command.file, "precious");
      int ignored = 0;
      const int signal = moment % 3 == 0 ? SIGINT : moment % 3 == 1 ? SIGTERM : SIGHUP;
      const Ended ended = run_until(command.arguments, all * moment / moments, signal, ignored);
      const auto now = files();
      EXPECT_TRUE(now == whole || now == old) << command.arguments[0] << " " << command.file << " at " << moment << ": "
                                              << now.size() << " files, " << now.at(command.file).size() << " bytes";
      if (ended.status == 0) {
        EXPECT_TRUE(now == whole) << command.file << " at " << moment;
      } else {
        EXPECT_TRUE(ended.status == 130 || ended.status == 1000 + signal) << ended.status << ended.err;
        ++stopped;
      }
    }
    EXPECT_GT(stopped, moments / 2) << command.arguments[0] << " " << command.file;
  }
};

TEST_F(Signals, LeaveTheOldFileOrTheNewOne) {
  if (const pid_t child = start({"--version"},
                                [] {
                                  if (ptrace(PTRACE_TRACEME, 0, nullptr, nullptr) != 0) _exit(125);
                                  ptrace(PTRACE_TRACEME, 0, nullptr, nullptr);
                                  _exit(0);
                                });
      end(child).status != 0) {
    FAIL() << "this system lets no program be stopped at its system calls (ptrace)";
  }
  for (const Writing& command : writing_commands()) sweep(command);
}

TEST_F(Signals, LeaveTheRecordBeforeOrAfterAChange) {
  ASSERT_EQ(run({"student", "note", "Mira", "--set", "few-notes", "--key", "G"}).status, 0);
  put("other.json", R"({"schema":1,"students":[{"name":"Jon","entries":[{"date":"2026-11-20","kind":"missed"}]}]})");
  fs::copy(folder_ / "home", folder_ / "home-before", fs::copy_options::recursive);
  sweep_record({"student", "add", "Ada", "--level", "2"}, {});
  sweep_record({"student", "set", "Mira", "--level", "5"}, {});
  sweep_record({"student", "note", "Mira", "left hand alone was good"}, {});
  sweep_record({"student", "import", "other.json"}, {});
  sweep_record({"student", "remove", "Mira", "--yes"}, {});
  sweep_record(
      {"student", "next", "Mira", "--accept", "B", "--out", "sheet.pdf", "--out", "sound.mid", "--chart", "chart.svg"},
      {"sheet.pdf", "sound.mid", "chart.svg"});
}

TEST_F(Signals, LeaveWholeStems) {
  const std::vector<std::string> arguments{"render", "song.txt", "--tempo", "400",
                                           "--out",  "x.wav",    "--stems", "stems"};
  int all = 0;
  ASSERT_EQ(run_until(arguments, -1, 0, all).status, 0);
  const auto whole = files();
  ASSERT_GT(whole.size(), 4U);
  for (int moment = 0; moment < moments; ++moment) {
    fs::remove_all(room() / "stems");
    fs::remove(room() / "x.wav");
    int ignored = 0;
    const Ended ended = run_until(arguments, all * moment / moments, moment % 2 == 0 ? SIGTERM : SIGINT, ignored);
    const auto now = files();
    for (const auto& [name, bytes] : now) {
      ASSERT_EQ(whole.count(name), 1U) << name << " at " << moment;
      EXPECT_TRUE(bytes == whole.at(name)) << name << " at " << moment;
    }
    if (ended.status == 0) {
      EXPECT_EQ(now.size(), whole.size()) << moment;
    }
  }
}

TEST_F(Signals, SayWhatWasNotWritten) {
  put("long.txt", "tempo: 20\n| C | G |\n");
  const pid_t child = start({"render", "long.txt", "--repeat", "200", "--out", "x.wav"});
  const fs::path begun = room() / (".x.wav." + std::to_string(child) + ".part");
  for (int i = 0; i < 2000 && !fs::exists(begun); ++i) usleep(10000);
  kill(child, SIGTERM);
  const Ended ended = end(child);
  EXPECT_EQ(ended.status, 130);
  EXPECT_EQ(ended.err, "romanesca: stopped; x.wav was not written\n");
  EXPECT_EQ(files().count("x.wav"), 0U);
  EXPECT_EQ(files().size(), 2U);
}

}  // namespace
}  // namespace romanesca::test
