// The program is killed 1,000 times while it writes (110 times without ROMANESCA_THOROUGH=1): no entry that
// it confirmed is lost, and the file can be opened.
#include <signal.h>
#include <sys/wait.h>

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <map>
#include <set>
#include <sstream>

#include "tests/cli/studio/record/record_folder.h"
#include "tests/sweep.h"

namespace romanesca::test {
namespace {

/// Multiplicative generator (Park and Miller, "Random number generators: good ones are hard to find", CACM 31/10,
/// 1988).
class Generator {
 public:
  unsigned below(unsigned limit) {
    state_ = state_ * 48271U % 2147483647U;
    return static_cast<unsigned>(state_ % limit);
  }

 private:
  std::uint64_t state_ = 20261120;
};

/// Runs the function in a child process and kills it. @return the lines that it had confirmed
/// @param lines number of lines to wait for @param microseconds to wait after that before the kill
/// @param run writes its confirmations to the given stream
template <typename Run>
std::vector<std::string> killed_after(unsigned lines, unsigned microseconds, const Run& run) {
  int ends[2];
  if (pipe(ends) != 0) return {};
  const pid_t child = fork();
  if (child == 0) {
    close(ends[0]);
    std::FILE* const confirmed = fdopen(ends[1], "w");
    std::setvbuf(confirmed, nullptr, _IOLBF, BUFSIZ);
    run(confirmed);
    _exit(0);
  }
  close(ends[1]);
  std::string text;
  char buffer[4096];
  const auto read_more = [&] {
    const ssize_t count = read(ends[0], buffer, sizeof buffer);
    if (count > 0) text.append(buffer, static_cast<std::size_t>(count));
    return count > 0;
  };
  while (std::count(text.begin(), text.end(), '\n') < static_cast<std::ptrdiff_t>(lines) && read_more()) {
  }
  usleep(microseconds);
  kill(child, SIGKILL);
  waitpid(child, nullptr, 0);
  while (read_more()) {
  }
  close(ends[0]);
  std::vector<std::string> confirmed;
  std::istringstream stream(text);
  for (std::string line; std::getline(stream, line);) {
    if (!stream.eof()) confirmed.push_back(line);  // a line without its end was not confirmed
  }
  return confirmed;
}

class Kill : public RecordFolder {
 protected:
  /// The duration of one command on this machine, in microseconds: the kills are spread over a few of them.
  [[nodiscard]] unsigned command_duration_us() const {
    constexpr int commands = 10;
    const auto begin = std::chrono::steady_clock::now();
    for (int i = 0; i < commands; ++i) done({"note", "1", "how long does this take"});
    const auto taken = std::chrono::steady_clock::now() - begin;
    return static_cast<unsigned>(std::chrono::duration_cast<std::chrono::microseconds>(taken).count()) / commands;
  }

  /// Writes notes until it is killed; each is confirmed by its text.
  void write_notes(std::FILE* confirmed, int run_number) const {
    for (int i = 0;; ++i) {
      const std::string text = "life " + std::to_string(run_number) + " note " + std::to_string(i);
      if (run_in_process({"student", "note", "Mira", text}, "", {}, data_).status != 0) _exit(1);
      std::fprintf(confirmed, "%s\n", text.c_str());
    }
  }
};

TEST_F(Kill, NoConfirmedEntryIsLost) {
  done({"add", "Mira"});
  unsigned duration_us = command_duration_us();
  Generator generator;
  const int note_runs = thorough() ? 900 : 90;
  std::set<std::string> confirmed;
  int runs_that_wrote = 0;
  for (int run_number = 0; run_number < note_runs; ++run_number) {
    const auto lines = killed_after(generator.below(2), generator.below(2 * duration_us),
                                    [&](std::FILE* to) { write_notes(to, run_number); });
    confirmed.insert(lines.begin(), lines.end());
    runs_that_wrote += lines.empty() ? 0 : 1;
    if (run_number % 30 != 29) continue;
    // On a busy machine a run takes longer before it writes.
    if (runs_that_wrote < run_number / 2) duration_us += duration_us / 2;
    Store store = test::opened(data_);  // throws if the file is damaged
    std::set<std::string> written;
    int number = 0;
    for (const Entry& entry : value_or_throw(store.history(1))) {
      written.insert(entry.text);
      ASSERT_EQ(entry.number, ++number);
    }
    for (const std::string& text : confirmed) ASSERT_TRUE(written.contains(text)) << text;
  }
  EXPECT_GT(runs_that_wrote, note_runs / 3);  // the kills came while it was writing
  RecordProperty("confirmed", static_cast<int>(confirmed.size()));
}

// Killed while the file is created and a student is added, changed and removed.
TEST_F(Kill, TheFileIsValidFromItsCreationOn) {
  done({"add", "Mira"});
  const unsigned duration_us = command_duration_us();
  Generator generator;
  int made = 0;
  const int runs = thorough() ? 100 : 20;
  for (int run_number = 0; run_number < runs; ++run_number) {
    std::filesystem::remove_all(data_);
    const auto lines = killed_after(generator.below(5), generator.below(2 * duration_us), [&](std::FILE* to) {
      for (int i = 0;; ++i) {
        const std::string name = "Mira " + std::to_string(i);
        const auto run = [&](const std::vector<std::string>& words) {
          if (student(words).status != 0) _exit(1);
        };
        run({"add", name});
        std::fprintf(to, "+%s\n", name.c_str());
        run({"set", name, "--level", "2"});
        if (i % 2 == 0) continue;
        std::fprintf(to, "?%s\n", name.c_str());
        run({"remove", name, "--yes"});
        std::fprintf(to, "-%s\n", name.c_str());
      }
    });
    std::map<std::string, char> last;
    for (const std::string& line : lines) last[line.substr(1)] = line[0];
    made += lines.empty() ? 0 : 1;
    Store store = test::opened(data_);
    std::set<std::string> there;
    for (const Student& each : value_or_throw(store.students())) there.insert(each.profile.name);
    for (const auto& [name, state] : last) {
      if (state == '?') continue;  // killed during the removal: both states are right
      ASSERT_EQ(there.contains(name), state == '+') << name << " in run " << run_number;
    }
  }
  EXPECT_GT(made, runs * 2 / 5);
}

}  // namespace
}  // namespace romanesca::test
