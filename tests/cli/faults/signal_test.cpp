// A signal at every stage of every command that writes: afterwards the file is the old one or the complete new one, and
// no other file is left. Whole with ROMANESCA_THOROUGH=1, otherwise a sample of the moments. ptrace stops the program
// at its system calls, so the moments are the same on every machine.
#include <sys/ptrace.h>

#include <array>
#include <numeric>

#include "tests/cli/faults/faulty_run.h"
#include "tests/sweep.h"

namespace romanesca::test {
namespace {

/// Moments of a command, from its start to its end, at which a signal can come.
constexpr int moments = 40;

/// The moments that are tried. @param turn number of the command
std::vector<int> tried_moments(std::size_t turn) {
  std::vector<int> all(moments);
  std::iota(all.begin(), all.end(), 0);
  return tried(all, turn);
}

class Signals : public FaultyRun {
 protected:
  void SetUp() override {
    FaultyRun::SetUp();
    ASSERT_EQ(run({"student", "add", "Mira"}).status, 0);
  }

  /// Runs to stop number @p at of the main thread, sends the signal there and waits for the end.
  /// @param stops set to the number of all stops
  RunResult run_until(const std::vector<std::string>& arguments, int at, int signal, int& stops) const {
    setenv("ASAN_OPTIONS", "detect_leaks=0", 1);  // the leak checker does not work under ptrace
    const pid_t child = start(arguments, [] { ptrace(PTRACE_TRACEME, 0, nullptr, nullptr); });
    int status = 0;
    int forwarded = 0;
    stops = 0;
    waitpid(child, &status, 0);  // at its exec
    while (WIFSTOPPED(status)) {
      if (stops++ == at) forwarded = signal;
      ptrace(PTRACE_SYSCALL, child, nullptr, forwarded);
      waitpid(child, &status, 0);
      forwarded = WIFSTOPPED(status) && WSTOPSIG(status) != SIGTRAP ? WSTOPSIG(status) : 0;
    }
    return result_of(status);
  }

  /// The record as an export shows it.
  [[nodiscard]] std::string record() const {
    const RunResult exported = run({"student", "export"});
    EXPECT_EQ(exported.status, 0) << exported.err;
    return exported.out;
  }
  void put_record_back() const {
    fs::remove_all(folder_ / "home");
    fs::copy(folder_ / "home-before", folder_ / "home", fs::copy_options::recursive);
  }

  /// A signal at every stage of a command that changes the record and may write files: afterwards the record is the old
  /// or the new one, each file is complete or missing, and an exercise accepted in the record has its files.
  void sweep_record(const std::vector<std::string>& arguments, const std::vector<std::string>& written) {
    const std::vector<int> at_moments = tried_moments(swept_++);
    const auto old_files = files();
    const std::string old = record();
    int all = 0;
    ASSERT_EQ(run_until(arguments, -1, 0, all).status, 0) << arguments[1];
    const auto whole_files = files();
    const std::string whole = record();
    ASSERT_NE(old, whole) << arguments[1];
    std::size_t before = 0;
    std::size_t run_number = 0;
    for (const int moment : at_moments) {
      put_record_back();
      for (const std::string& file : written) fs::remove(work_folder() / file);
      constexpr std::array<int, 4> signals{SIGINT, SIGKILL, SIGTERM, SIGHUP};
      const int signal = signals[run_number++ % signals.size()];
      int ignored = 0;
      // Denser towards the end, where the record is written.
      const double left = 1 - static_cast<double>(moment) / moments;
      const int at = static_cast<int>(all * (1 - left * left * left));
      const RunResult result = run_until(arguments, at, signal, ignored);
      const std::string now = record();
      EXPECT_TRUE(now == old || now == whole) << arguments[1] << " at " << moment << "\n" << now;
      if (result.status == 0) {
        EXPECT_EQ(now, whole) << arguments[1] << " at " << moment;
      }
      if (now == old) ++before;
      for (const auto& [name, bytes] : files()) {
        if (signal == SIGKILL && name.ends_with(".part")) {
          fs::remove(work_folder() / name);  // cannot be removed by a killed program
          continue;
        }
        ASSERT_EQ(whole_files.count(name), 1U) << name << " at " << moment;
        EXPECT_TRUE(bytes == whole_files.at(name)) << name << " at " << moment;
      }
      for (const std::string& file : written) EXPECT_TRUE(now == old || files().count(file) == 1) << file;
    }
    EXPECT_GT(before, 0) << arguments[1];
    EXPECT_LT(before, at_moments.size()) << arguments[1];
    put_record_back();
    for (const std::string& file : written) fs::remove(work_folder() / file);
    EXPECT_EQ(files(), old_files);
  }

  void sweep(const WritingCommand& command) {
    const std::vector<int> at_moments = tried_moments(swept_++);
    int all = 0;
    ASSERT_EQ(run_until(command.arguments, -1, 0, all).status, 0) << command.arguments[0];
    const auto whole = files();
    put(command.file, "precious");
    const auto old = files();
    std::size_t stopped = 0;
    std::size_t run_number = 0;
    for (const int moment : at_moments) {
      put(command.file, "precious");
      int ignored = 0;
      constexpr std::array<int, 3> signals{SIGINT, SIGTERM, SIGHUP};
      const int signal = signals[run_number++ % signals.size()];
      const RunResult result = run_until(command.arguments, all * moment / moments, signal, ignored);
      const auto now = files();
      EXPECT_TRUE(now == whole || now == old) << command.arguments[0] << " " << command.file << " at " << moment << ": "
                                              << now.size() << " files, " << now.at(command.file).size() << " bytes";
      if (result.status == 0) {
        EXPECT_TRUE(now == whole) << command.file << " at " << moment;
      } else {
        EXPECT_TRUE(result.status == 130 || result.status == 1000 + signal) << result.status << result.err;
        ++stopped;
      }
    }
    EXPECT_GT(stopped, at_moments.size() / 2) << command.arguments[0] << " " << command.file;
  }

  std::size_t swept_ = 0;  ///< commands swept
};

TEST_F(Signals, LeaveTheOldFileOrTheNewOne) {
  if (const pid_t child = start({"--version"},
                                [] {
                                  if (ptrace(PTRACE_TRACEME, 0, nullptr, nullptr) != 0) _exit(125);
                                  ptrace(PTRACE_TRACEME, 0, nullptr, nullptr);
                                  _exit(0);
                                });
      wait_for(child).status != 0) {
    FAIL() << "this system does not allow ptrace";
  }
  for (const WritingCommand& command : tried(writing_commands(), 5)) sweep(command);
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
  for (const int moment : tried_moments(0)) {
    fs::remove_all(work_folder() / "stems");
    fs::remove(work_folder() / "x.wav");
    int ignored = 0;
    const RunResult result = run_until(arguments, all * moment / moments, moment % 2 == 0 ? SIGTERM : SIGINT, ignored);
    const auto now = files();
    for (const auto& [name, bytes] : now) {
      ASSERT_EQ(whole.count(name), 1U) << name << " at " << moment;
      EXPECT_TRUE(bytes == whole.at(name)) << name << " at " << moment;
    }
    if (result.status == 0) {
      EXPECT_EQ(now.size(), whole.size()) << moment;
    }
  }
}

TEST_F(Signals, ReportTheFileThatWasNotWritten) {
  put("long.txt", "tempo: 20\n| C | G |\n");
  const pid_t child = start({"render", "long.txt", "--repeat", "200", "--out", "x.wav"});
  const fs::path unfinished = work_folder() / (".x.wav." + std::to_string(child) + ".part");
  for (int i = 0; i < 2000 && !fs::exists(unfinished); ++i) usleep(10000);
  kill(child, SIGTERM);
  const RunResult result = wait_for(child);
  EXPECT_EQ(result.status, 130);
  EXPECT_EQ(result.err, "romanesca: stopped; x.wav was not written\n");
  EXPECT_EQ(files().count("x.wav"), 0U);
  EXPECT_EQ(files().size(), 2U);
}

}  // namespace
}  // namespace romanesca::test
