// Disk errors: a disk that is full after any number of bytes, a folder that is deleted, output that nobody reads.
#include <fcntl.h>
#include <linux/filter.h>
#include <linux/seccomp.h>
#include <sys/prctl.h>
#include <sys/ptrace.h>
#include <sys/syscall.h>
#include <sys/user.h>

#include <array>
#include <cerrno>
#include <cstddef>

#include "tests/cli/faults/faulty_run.h"
#include "tests/sanitized.h"
#include "tests/sweep.h"

namespace romanesca::test {
namespace {

class Disk : public FaultyRun {
 protected:
  void SetUp() override {
    FaultyRun::SetUp();
    ASSERT_EQ(run({"student", "add", "Mira"}).status, 0);
  }
};

// The sanitizers write files of their own, which must succeed.
#if !defined(ROMANESCA_SANITIZED)
// RLIMIT_FSIZE makes the kernel refuse to let a file grow beyond a number of bytes, for every user.
TEST_F(Disk, FullAfterAnyNumberOfBytes) {
  std::size_t turn = 0;
  for (const WritingCommand& command : tried(writing_commands(), 1)) {
    ASSERT_EQ(run(command.arguments).status, 0);
    const auto size = contents_of(work_folder() / command.file).size();
    fs::remove(work_folder() / command.file);
    put(command.file, "precious");
    const auto old = files();
    for (const std::size_t bytes : tried<std::size_t>({0, 1, size / 3, size / 2, size - 1}, turn++)) {
      // Standard error is /dev/null, which the limit does not affect.
      const RunResult result = run(command.arguments, [&] {
        dup2(open("/dev/null", O_WRONLY), STDERR_FILENO);
        limit(RLIMIT_FSIZE, bytes);
      });
      EXPECT_EQ(result.status, 3) << command.arguments[0] << " " << command.file << " " << bytes << " of " << size;
      EXPECT_TRUE(files() == old) << command.arguments[0] << " " << command.file << " " << bytes << " of " << size;
    }
  }
}
#endif

#if defined(__x86_64__) && !defined(ROMANESCA_SANITIZED)
constexpr std::array<unsigned, 6> writing_calls{SYS_write,     SYS_pwrite64,  SYS_writev,
                                                SYS_ftruncate, SYS_fallocate, SYS_fsync};

/// From now on the kernel stops this process for the one that traces it at each call that may write to a file
/// (seccomp(2)).
void stop_at_writes() {
  ptrace(PTRACE_TRACEME, 0, nullptr, nullptr);
  std::vector<sock_filter> filter{BPF_STMT(BPF_LD | BPF_W | BPF_ABS, offsetof(seccomp_data, nr))};
  for (const unsigned call : writing_calls) {
    filter.push_back(BPF_JUMP(BPF_JMP | BPF_JEQ | BPF_K, call, 0, 1));
    filter.push_back(BPF_STMT(BPF_RET | BPF_K, SECCOMP_RET_TRACE));
  }
  filter.push_back(BPF_STMT(BPF_RET | BPF_K, SECCOMP_RET_ALLOW));
  const sock_fprog program{static_cast<unsigned short>(filter.size()), filter.data()};
  if (prctl(PR_SET_NO_NEW_PRIVS, 1, 0, 0, 0) != 0 || prctl(PR_SET_SECCOMP, SECCOMP_MODE_FILTER, &program) != 0) {
    _exit(125);
  }
}

/// Runs the program; every write to a file after the first @p allowed fails with @p error.
/// @param writes set to the number of writes
RunResult run_refused(const FaultyRun& test, const std::vector<std::string>& arguments, int allowed, int error,
                      int& writes) {
  const pid_t child = test.start(arguments, stop_at_writes);
  int status = 0;
  writes = 0;
  waitpid(child, &status, 0);  // at its exec
  ptrace(PTRACE_SETOPTIONS, child, nullptr, PTRACE_O_TRACESECCOMP);
  while (WIFSTOPPED(status)) {
    user_regs_struct call{};
    if (status >> 8 == (SIGTRAP | (PTRACE_EVENT_SECCOMP << 8)) && ptrace(PTRACE_GETREGS, child, nullptr, &call) == 0 &&
        call.rdi > STDERR_FILENO && writes++ >= allowed) {
      // Number -1 makes the kernel skip the call, and the result is what stands in its register.
      call.orig_rax = static_cast<unsigned long long>(-1);
      call.rax = static_cast<unsigned long long>(-error);
      ptrace(PTRACE_SETREGS, child, nullptr, &call);
    }
    ptrace(PTRACE_CONT, child, nullptr, WSTOPSIG(status) == SIGTRAP ? 0 : WSTOPSIG(status));
    waitpid(child, &status, 0);
  }
  return test.result_of(status);
}

// The user's quota is used up, or the disk fails: every write fails from the first, the second, a middle or the last
// on.
TEST_F(Disk, FailsFromAnyWriteOn) {
  std::size_t turn = 0;
  for (const WritingCommand& command : tried(writing_commands(), 3)) {
    fs::remove(work_folder() / command.file);
    int all = 0;
    ASSERT_EQ(run_refused(*this, command.arguments, 1 << 20, EDQUOT, all).status, 0) << command.file;
    ASSERT_GT(all, 0) << command.file;
    put(command.file, "precious");
    const auto old = files();
    std::vector<std::pair<int, int>> faults;  // error, and writes that succeed before it
    for (const int error : {EDQUOT, EIO}) {
      for (const int allowed : {0, 1, all / 2, all - 1}) {
        if (allowed < all) faults.emplace_back(error, allowed);
      }
    }
    for (const auto& [error, allowed] : tried(faults, turn++)) {
      int ignored = 0;
      const RunResult result = run_refused(*this, command.arguments, allowed, error, ignored);
      EXPECT_EQ(result.status, 3) << command.arguments[0] << " " << command.file << " after " << allowed << " of "
                                  << all;
      EXPECT_TRUE(result.err.starts_with("romanesca: ")) << result.err;
      const bool reported =
          result.err.find("your share of the disk is used up") != std::string::npos ||
          result.err.find("the disk refused to read or write") != std::string::npos;  // the record's own
      EXPECT_TRUE(reported || error != EDQUOT) << command.file << " after " << allowed << ": " << result.err;
      EXPECT_TRUE(files() == old) << command.arguments[0] << " " << command.file << " after " << allowed;
    }
  }
}
#endif

TEST_F(Disk, LeftoversOfAKilledRunAreRemovedAfterADay) {
  put(".x.txt.4242.part", "half");
  put(".x.txt.4243.part", "half, of now");
  put(".x.txt.notes.part", "the user's");
  put(".y.txt.4242.part", "of another file");
  const auto long_ago = fs::file_time_type::clock::now() - std::chrono::hours(25);
  for (const char* name : {".x.txt.4242.part", ".x.txt.notes.part", ".y.txt.4242.part"}) {
    fs::last_write_time(work_folder() / name, long_ago);
  }
  const auto before = files();
  ASSERT_EQ(run({"chart", "song.txt", "--out", "x.txt"}).status, 0);
  const auto after = files();
  EXPECT_EQ(after.count(".x.txt.4242.part"), 0U);
  EXPECT_EQ(after.size(), before.size());  // one leftover less, and x.txt
}

TEST_F(Disk, AFolderThatIsDeletedWhileRendering) {
  fs::create_directories(work_folder() / "away");
  put("long.txt", "tempo: 20\n| C | G |\n");
  const pid_t child = start({"render", "long.txt", "--repeat", "20", "--out", "away/x.wav"});
  for (int i = 0; i < 200 && fs::is_empty(work_folder() / "away"); ++i) usleep(10000);
  fs::remove_all(work_folder() / "away");
  const RunResult result = wait_for(child);
  EXPECT_EQ(result.status, 3) << result.err;
  EXPECT_TRUE(result.err.starts_with("romanesca: cannot write ")) << result.err;
  EXPECT_FALSE(fs::exists(work_folder() / "away"));
}

TEST_F(Disk, OutputThatNobodyReads) {
  for (const auto& arguments : std::vector<std::vector<std::string>>{{"progressions"},
                                                                     {"styles"},
                                                                     {"chart", "song.txt"},
                                                                     {"analyse", "song.txt", "--json"},
                                                                     {"exercise"},
                                                                     {"student", "list"},
                                                                     {"--help"},
                                                                     {"render", "--help"},
                                                                     {"--man"}}) {
    for (const bool ignored : {false, true}) {
      const RunResult result = run(arguments, [&] {
        std::signal(SIGPIPE, ignored ? SIG_IGN : SIG_DFL);
        int ends[2];
        if (pipe(ends) != 0) _exit(125);
        dup2(ends[1], STDOUT_FILENO);
        close(ends[0]);
        close(ends[1]);
      });
      EXPECT_EQ(result.status, ignored ? 3 : 1000 + SIGPIPE) << arguments[0] << result.err;
    }
    const RunResult closed = run(arguments, [] { close(STDOUT_FILENO); });
    EXPECT_EQ(closed.status, 3) << arguments[0];
    EXPECT_TRUE(closed.err.starts_with("romanesca: cannot write to standard output\n")) << closed.err;
  }
}

/// A file opened without standard output must not get its descriptor and be overwritten.
TEST_F(Disk, AClosedOutputIsNotMistakenForAFile) {
  const RunResult whole = run({"chart", "song.txt", "--out", "x.pdf"});
  const std::string expected = contents_of(work_folder() / "x.pdf");
  fs::remove(work_folder() / "x.pdf");
  (void)run({"chart", "song.txt", "--out", "x.pdf"}, [] {
    close(STDIN_FILENO);
    close(STDOUT_FILENO);
    close(STDERR_FILENO);
  });
  EXPECT_EQ(contents_of(work_folder() / "x.pdf"), expected);
  ASSERT_EQ(whole.status, 0);
  // The same for the record: messages must not be written into it.
  (void)run({"student", "note", "Mira", "hello"}, [] {
    close(STDOUT_FILENO);
    close(STDERR_FILENO);
  });
  EXPECT_EQ(run({"student", "history", "Mira"}).status, 0);
}

}  // namespace
}  // namespace romanesca::test
