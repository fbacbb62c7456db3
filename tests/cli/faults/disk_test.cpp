// Disks that refuse: full after any number of bytes, folders that vanish, output that nobody reads.
#include <fcntl.h>
#include <sys/ptrace.h>
#include <sys/syscall.h>
#include <sys/user.h>

#include <algorithm>
#include <array>
#include <cerrno>

#include "tests/cli/faults/faulty_run.h"
#include "tests/sanitized.h"

namespace romanesca::test {
namespace {

class Disk : public FaultyRun {
 protected:
  void SetUp() override {
    FaultyRun::SetUp();
    ASSERT_EQ(run({"student", "add", "Mira"}).status, 0);
  }
};

// The sanitizers write files of their own, which may not be refused.
#if !defined(ROMANESCA_SANITIZED)
// RLIMIT_FSIZE makes the kernel refuse to let a file grow beyond a number of bytes, for every user.
TEST_F(Disk, FullAfterAnyNumberOfBytes) {
  for (const Writing& command : writing_commands()) {
    ASSERT_EQ(run(command.arguments).status, 0);
    const auto size = contents_of(room() / command.file).size();
    fs::remove(room() / command.file);
    put(command.file, "precious");
    const auto old = files();
    for (const std::size_t bytes : {std::size_t{0}, std::size_t{1}, size / 3, size / 2, size - 1}) {
      // Errors are told on a stream that the limit does not reach.
      const Ended ended = run(command.arguments, [&] {
        dup2(open("/dev/null", O_WRONLY), STDERR_FILENO);
        limit(RLIMIT_FSIZE, bytes);
      });
      EXPECT_EQ(ended.status, 3) << command.arguments[0] << " " << command.file << " " << bytes << " of " << size;
      EXPECT_TRUE(files() == old) << command.arguments[0] << " " << command.file << " " << bytes << " of " << size;
    }
  }
}
#endif

#if defined(__x86_64__) && !defined(ROMANESCA_SANITIZED)
/// Whether the system call that the program is about to make writes to a file of its own.
bool writes_a_file(const user_regs_struct& call) {
  constexpr std::array<long, 6> writing{SYS_write, SYS_pwrite64, SYS_writev, SYS_ftruncate, SYS_fallocate, SYS_fsync};
  const bool known = std::find(writing.begin(), writing.end(), static_cast<long>(call.orig_rax)) != writing.end();
  return known && call.rdi > STDERR_FILENO;
}

/// Runs the program and refuses every write to a file after the first @p allowed with this error.
/// @param writes how many there were
Ended run_refused(const FaultyRun& place, const std::vector<std::string>& arguments, int allowed, int error,
                  int& writes) {
  const pid_t child = place.start(arguments, [] { ptrace(PTRACE_TRACEME, 0, nullptr, nullptr); });
  int status = 0;
  writes = 0;
  bool refused = false;
  waitpid(child, &status, 0);
  while (WIFSTOPPED(status)) {
    const int signal = WSTOPSIG(status) == SIGTRAP ? 0 : WSTOPSIG(status);
    user_regs_struct call{};
    if (signal == 0 && ptrace(PTRACE_GETREGS, child, nullptr, &call) == 0) {
      if (refused) {
        call.rax = static_cast<unsigned long long>(-error);
        ptrace(PTRACE_SETREGS, child, nullptr, &call);
        refused = false;
      } else if (call.rax == static_cast<unsigned long long>(-ENOSYS) && writes_a_file(call) && writes++ >= allowed) {
        // At its entry, where -ENOSYS stands for the result; -1 is no system call at all.
        call.orig_rax = static_cast<unsigned long long>(-1);
        refused = ptrace(PTRACE_SETREGS, child, nullptr, &call) == 0;
      }
    }
    ptrace(PTRACE_SYSCALL, child, nullptr, signal);
    waitpid(child, &status, 0);
  }
  return place.ended(status);
}

// Where a user's share of the disk is used up, or the disk breaks: from the first, the second, a middle and the last
// write on, each is refused.
TEST_F(Disk, RefusesFromAnyWriteOn) {
  for (const Writing& command : writing_commands()) {
    fs::remove(room() / command.file);
    int all = 0;
    ASSERT_EQ(run_refused(*this, command.arguments, 1 << 20, EDQUOT, all).status, 0) << command.file;
    ASSERT_GT(all, 0) << command.file;
    put(command.file, "precious");
    const auto old = files();
    for (const int error : {EDQUOT, EIO}) {
      for (const int allowed : {0, 1, all / 2, all - 1}) {
        if (allowed >= all) continue;
        int ignored = 0;
        const Ended ended = run_refused(*this, command.arguments, allowed, error, ignored);
        EXPECT_EQ(ended.status, 3) << command.arguments[0] << " " << command.file << " after " << allowed << " of "
                                   << all;
        EXPECT_TRUE(ended.err.starts_with("romanesca: ")) << ended.err;
        const bool told = ended.err.find("your share of the disk is used up") != std::string::npos ||
                          ended.err.find("the disk refused to read or write") != std::string::npos;  // the record's own
        EXPECT_TRUE(told || error != EDQUOT) << command.file << " after " << allowed << ": " << ended.err;
        EXPECT_TRUE(files() == old) << command.arguments[0] << " " << command.file << " after " << allowed;
      }
    }
  }
}
#endif

TEST_F(Disk, WhatAKilledRunLeftIsTidiedUpAfterADay) {
  put(".x.txt.4242.part", "half");
  put(".x.txt.4243.part", "half, of now");
  put(".x.txt.notes.part", "the user's");
  put(".y.txt.4242.part", "of another file");
  const auto long_ago = fs::file_time_type::clock::now() - std::chrono::hours(25);
  for (const char* name : {".x.txt.4242.part", ".x.txt.notes.part", ".y.txt.4242.part"}) {
    fs::last_write_time(room() / name, long_ago);
  }
  const auto before = files();
  ASSERT_EQ(run({"chart", "song.txt", "--out", "x.txt"}).status, 0);
  const auto after = files();
  EXPECT_EQ(after.count(".x.txt.4242.part"), 0U);
  EXPECT_EQ(after.size(), before.size());  // one less, and x.txt
}

TEST_F(Disk, AFolderThatVanishesWhileItRenders) {
  fs::create_directories(room() / "away");
  put("long.txt", "tempo: 20\n| C | G |\n");
  const pid_t child = start({"render", "long.txt", "--repeat", "20", "--out", "away/x.wav"});
  for (int i = 0; i < 200 && fs::is_empty(room() / "away"); ++i) usleep(10000);
  fs::remove_all(room() / "away");
  const Ended ended = end(child);
  EXPECT_EQ(ended.status, 3) << ended.err;
  EXPECT_TRUE(ended.err.starts_with("romanesca: cannot write ")) << ended.err;
  EXPECT_FALSE(fs::exists(room() / "away"));
}

TEST_F(Disk, NobodyReads) {
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
      const Ended ended = run(arguments, [&] {
        std::signal(SIGPIPE, ignored ? SIG_IGN : SIG_DFL);
        int ends[2];
        if (pipe(ends) != 0) _exit(125);
        dup2(ends[1], STDOUT_FILENO);
        close(ends[0]);
        close(ends[1]);
      });
      EXPECT_EQ(ended.status, ignored ? 3 : 1000 + SIGPIPE) << arguments[0] << ended.err;
    }
    const Ended closed = run(arguments, [] { close(STDOUT_FILENO); });
    EXPECT_EQ(closed.status, 3) << arguments[0];
    EXPECT_TRUE(closed.err.starts_with("romanesca: cannot write to standard output\n")) << closed.err;
  }
}

/// A file opened by a program without standard output must not take its place and be written over.
TEST_F(Disk, AClosedOutputIsNotMistakenForAFile) {
  const Ended whole = run({"chart", "song.txt", "--out", "x.pdf"});
  const std::string wanted = contents_of(room() / "x.pdf");
  fs::remove(room() / "x.pdf");
  (void)run({"chart", "song.txt", "--out", "x.pdf"}, [] {
    close(STDIN_FILENO);
    close(STDOUT_FILENO);
    close(STDERR_FILENO);
  });
  EXPECT_EQ(contents_of(room() / "x.pdf"), wanted);
  ASSERT_EQ(whole.status, 0);
  // The record too: what is said about it must not land in it.
  (void)run({"student", "note", "Mira", "hello"}, [] {
    close(STDOUT_FILENO);
    close(STDERR_FILENO);
  });
  EXPECT_EQ(run({"student", "history", "Mira"}).status, 0);
}

}  // namespace
}  // namespace romanesca::test
