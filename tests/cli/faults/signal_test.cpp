// A signal at every stage of every command that writes: the file is then the old one or the whole new one, and nothing
// else lies about. The kernel stops the program at its system calls, so the moments are the same on every machine.
#include <sys/ptrace.h>

#include "tests/cli/faults/faulty_run.h"

namespace romanesca::test {
namespace {

/// Of each command; fewer where a sanitizer slows every start.
#if defined(__SANITIZE_ADDRESS__) || defined(__SANITIZE_THREAD__)
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

TEST_F(Signals, SayWhatWasNotWritten) {
  put("long.txt", "tempo: 20\n| C | G |\n");
  const pid_t child = start({"render", "long.txt", "--repeat", "200", "--out", "x.wav"});
  usleep(500000);
  kill(child, SIGTERM);
  const Ended ended = end(child);
  EXPECT_EQ(ended.status, 130);
  EXPECT_EQ(ended.err, "romanesca: stopped; x.wav was not written\n");
  EXPECT_EQ(files().count("x.wav"), 0U);
  EXPECT_EQ(files().size(), 2U);
}

}  // namespace
}  // namespace romanesca::test
