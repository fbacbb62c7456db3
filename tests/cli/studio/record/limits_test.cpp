// System errors: a full disk, a folder without write permission, a record locked by another program.
#include <fcntl.h>
#include <signal.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>

#include <algorithm>
#include <atomic>
#include <cstdio>
#include <thread>

#include "tests/cli/studio/record/record_folder.h"

namespace romanesca::test {
namespace {

/// Exit status and standard error of a child process.
struct ChildResult {
  int status = 0;
  std::string err;
};

template <typename Run>
ChildResult in_child(const std::filesystem::path& error_file, const Run& run) {
  const int descriptor = ::open(error_file.c_str(), O_CREAT | O_TRUNC | O_RDWR, 0600);  // before any limit is set
  const pid_t child = fork();
  if (child == 0) {
    const Outcome outcome = run();
    const bool written = write(descriptor, outcome.err.data(), outcome.err.size()) >= 0;
    _exit(written ? outcome.status : 99);
  }
  close(descriptor);
  int status = 0;
  waitpid(child, &status, 0);
  return {WIFEXITED(status) ? WEXITSTATUS(status) : 1000 + WTERMSIG(status), bytes_of(error_file)};
}

class Limits : public RecordFolder {};

// RLIMIT_FSIZE makes the kernel refuse to let any file grow, as a full disk does, for every user.
TEST_F(Limits, AFullDiskLosesNothing) {
  done({"add", "Mira"});
  for (int i = 0; i < 50; ++i) (void)value_or_throw(test::opened(data_).note(1, noted("note " + std::to_string(i))));
  const auto before = value_or_throw(test::opened(data_).records());
  int refused = 0;
  int written = 0;
  for (rlim_t limit = 0; limit <= 160 * 1024; limit += 2048) {
    const ChildResult result = in_child(base_ / "words", [&] {
      signal(SIGXFSZ, SIG_IGN);
      Outcome outcome;
      outcome.err.reserve(1000);
      const rlimit limits{limit, RLIM_INFINITY};
      setrlimit(RLIMIT_FSIZE, &limits);
      outcome = student({"note", "Mira", std::string(1900, 'x')});
      const rlimit none{RLIM_INFINITY, RLIM_INFINITY};
      setrlimit(RLIMIT_FSIZE, &none);
      return outcome;
    });
    const auto after = value_or_throw(test::opened(data_).records());
    ASSERT_EQ(after.size(), 1U);
    const std::size_t entries = after[0].entries.size();
    if (result.status == 0) {
      ++written;
      ASSERT_EQ(entries, before[0].entries.size() + static_cast<std::size_t>(written)) << limit;
      continue;
    }
    ++refused;
    EXPECT_EQ(result.status, 3) << limit << " " << result.err;
    EXPECT_NE(result.err.find("record.db"), std::string::npos) << result.err;
    EXPECT_EQ(result.err.find("should not"), std::string::npos) << result.err;
    ASSERT_EQ(entries, before[0].entries.size() + static_cast<std::size_t>(written)) << limit << result.err;
    EXPECT_TRUE(std::equal(before[0].entries.begin(), before[0].entries.end(), after[0].entries.begin())) << limit;
  }
  EXPECT_GT(refused, 3);
  EXPECT_GT(written, 3);
}

TEST_F(Limits, AFullDiskWhenTheRecordIsCreated) {
  for (rlim_t limit = 0; limit <= 40960; limit += 4096) {
    const ChildResult result = in_child(base_ / "words", [&] {
      signal(SIGXFSZ, SIG_IGN);
      const rlimit limits{limit, RLIM_INFINITY};
      setrlimit(RLIMIT_FSIZE, &limits);
      Outcome outcome = student({"add", "Mira"});
      const rlimit none{RLIM_INFINITY, RLIM_INFINITY};
      setrlimit(RLIMIT_FSIZE, &none);
      return outcome;
    });
    EXPECT_TRUE(result.status == 0 || result.status == 3) << limit << " " << result.status << result.err;
    EXPECT_EQ(student({"list"}).status, 0) << limit;
    for (const auto& entry : std::filesystem::directory_iterator(data_)) {
      EXPECT_FALSE(entry.path().string().ends_with(".part")) << entry.path();
    }
    std::filesystem::remove_all(data_);
  }
}

TEST_F(Limits, AFolderWithoutWritePermission) {
  done({"add", "Mira"});
  const std::string bytes = bytes_of(file());
  const auto as_anybody = [&](mode_t folder, const std::vector<std::string>& words) {
    return in_child(base_ / "words", [&] {
      chmod(data_.c_str(), folder);
      if (geteuid() == 0) {
        // Permissions do not apply to root, so the child becomes another user, who owns the folder.
        const uid_t nobody = 65534;
        const bool owned = chown(data_.c_str(), nobody, nobody) == 0 && chown(file().c_str(), nobody, nobody) == 0;
        if (!owned || setgid(nobody) != 0 || setuid(nobody) != 0) return Outcome{98, "", "cannot become another user"};
      }
      return student(words);
    });
  };
  const ChildResult result = as_anybody(0500, {"note", "Mira", "x"});
  EXPECT_EQ(result.status, 3) << result.err;
  EXPECT_NE(result.err.find("record.db cannot be opened for writing\n    make " + data_.string()), std::string::npos)
      << result.err;
  EXPECT_TRUE(bytes_of(file()) == bytes);
  // The same user with write permission: the permission was the cause.
  EXPECT_EQ(as_anybody(0700, {"note", "Mira", "x"}).status, 0);
  std::filesystem::remove(file());
  const ChildResult empty = in_child(base_ / "words", [&] {
    chmod(data_.c_str(), 0500);
    if (geteuid() == 0 && setuid(65534) != 0) return Outcome{98, "", ""};
    return student({"add", "Mira"});
  });
  EXPECT_EQ(empty.status, 3);
  EXPECT_NE(empty.err.find("cannot write in " + data_.string()), std::string::npos) << empty.err;
  chmod(data_.c_str(), 0700);
}

TEST_F(Limits, NoDataFolderAtAll) {
  const Outcome outcome = run_in_process({"student", "list"});
  EXPECT_EQ(outcome.status, 3);
  EXPECT_EQ(outcome.err,
            "romanesca: there is no place for the students' record\n"
            "    set HOME, or XDG_DATA_HOME to a folder of yours\n");
}

TEST_F(Limits, TheRecordIsPrivate) {
  const mode_t usual = umask(0);
  done({"add", "Mira"});
  const auto permissions = [](const std::filesystem::path& path) {
    struct stat about {};
    EXPECT_EQ(stat(path.c_str(), &about), 0);
    return about.st_mode & 0777U;
  };
  EXPECT_EQ(permissions(data_), 0700U);
  EXPECT_EQ(permissions(file()), 0600U);
  {
    Store store = test::opened(data_);
    (void)value_or_throw(store.add(named("Ole"), day(11, 20)));
    EXPECT_EQ(permissions(file().string() + "-wal"), 0600U);
    EXPECT_EQ(permissions(file().string() + "-shm"), 0600U);
  }
  done({"export", "--out", (base_ / "all.json").string()});
  EXPECT_EQ(permissions(base_ / "all.json"), 0600U);
  // Permissions that somebody has added are removed.
  chmod(data_.c_str(), 0755);
  chmod(file().c_str(), 0644);
  done({"list"});
  EXPECT_EQ(permissions(data_), 0700U);
  EXPECT_EQ(permissions(file()), 0600U);
  umask(usual);
}

TEST_F(Limits, ProgramsWaitForEachOther) {
  done({"add", "Mira"});
  constexpr int programs = 4;
  constexpr int notes = 50;
  std::vector<pid_t> children;
  for (int p = 0; p < programs; ++p) {
    const pid_t child = fork();
    if (child == 0) {
      for (int i = 0; i < notes; ++i) {
        if (student({"note", "Mira", std::to_string(p) + "/" + std::to_string(i)}).status != 0) _exit(1);
      }
      _exit(0);
    }
    children.push_back(child);
  }
  for (const pid_t child : children) {
    int status = 0;
    waitpid(child, &status, 0);
    EXPECT_EQ(status, 0);
  }
  const auto entries = value_or_throw(test::opened(data_).history(1));
  ASSERT_EQ(entries.size(), static_cast<std::size_t>(programs * notes));
  for (std::size_t i = 0; i < entries.size(); ++i) EXPECT_EQ(entries[i].number, static_cast<int>(i) + 1);
}

TEST_F(Limits, ProgramsCreateTheRecordTogether) {
  for (int round = 0; round < 20; ++round) {
    std::filesystem::remove_all(data_);
    std::vector<pid_t> children;
    for (int p = 0; p < 3; ++p) {
      const pid_t child = fork();
      if (child == 0) {
        const Outcome outcome = student({"add", "Mira " + std::to_string(p)});
        std::fputs(outcome.err.c_str(), stderr);
        _exit(outcome.status);
      }
      children.push_back(child);
    }
    for (const pid_t child : children) {
      int status = 0;
      waitpid(child, &status, 0);
      EXPECT_EQ(status, 0);
    }
    ASSERT_EQ(value_or_throw(test::opened(data_).students()).size(), 3U);
  }
}

TEST_F(Limits, AWriterWaitsUntilTheOtherIsDone) {
  done({"add", "Mira"});
  Database other(file(), std::chrono::seconds(10));
  std::atomic<bool> written = false;
  {
    Transaction busy(other);
    Store impatient = test::opened(data_, std::chrono::milliseconds(20));
    try {
      (void)value_or_throw(impatient.note(1, noted("too early")));
      FAIL() << "wrote although another program was writing";
    } catch (const Failure& failure) {
      EXPECT_EQ(failure.status(), ExitStatus::file_refused);
      EXPECT_NE(failure.error().message.find("another program is busy with"), std::string::npos);
    }
    std::thread waiting([&] {
      (void)value_or_throw(test::opened(data_).note(1, noted("in time")));
      written = true;
    });
    usleep(150000);
    EXPECT_FALSE(written);
    busy.commit();
    waiting.join();
  }
  EXPECT_TRUE(written);
  EXPECT_EQ(value_or_throw(test::opened(data_).history(1)).size(), 1U);
}

}  // namespace
}  // namespace romanesca::test
