#include "cli/studio/process_pool.h"

#include <poll.h>
#include <sys/mman.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <atomic>
#include <cerrno>
#include <cstring>
#include <new>
#include <vector>

#include "cli/studio/interrupt.h"

namespace romanesca {
namespace {

using Counter = std::atomic<std::size_t>;

struct Worker {
  pid_t pid = -1;
  int pipe = -1;
  std::string unread;
};

/// What stands before each text in a pipe.
struct Frame {
  std::size_t item, length;
  int outcome;
};

bool write_all(int pipe, const void* bytes, std::size_t length) {
  const char* at = static_cast<const char*>(bytes);
  while (length > 0) {
    const ssize_t written = write(pipe, at, length);
    if (written < 0 && errno != EINTR) return false;
    if (written <= 0) continue;
    at += written;
    length -= static_cast<std::size_t>(written);
  }
  return true;
}

/// In the worker: items until there are no more, a frame and a text for each.
[[noreturn]] void serve(Counter& next, std::size_t count, int pipe,
                        const std::function<ItemReport(std::size_t)>& work) {
  for (std::size_t i = next++; i < count && !InterruptGuard::requested(); i = next++) {
    const ItemReport report = work(i);
    const Frame frame{report.item, report.text.size(), report.outcome};
    if (!write_all(pipe, &frame, sizeof frame) || !write_all(pipe, report.text.data(), report.text.size())) _exit(1);
  }
  _exit(0);
}

/// Reads what there is. @return false at the end
bool read_reports(Worker& worker, const std::function<void(const ItemReport&)>& report) {
  std::array<char, 4096> buffer{};
  const ssize_t count = read(worker.pipe, buffer.data(), buffer.size());
  if (count < 0) return errno == EINTR;
  if (count == 0) return false;
  worker.unread.append(buffer.data(), static_cast<std::size_t>(count));
  for (Frame frame{}; worker.unread.size() >= sizeof frame;) {
    std::memcpy(&frame, worker.unread.data(), sizeof frame);
    if (worker.unread.size() - sizeof frame < frame.length) break;
    report({frame.item, frame.outcome, worker.unread.substr(sizeof frame, frame.length)});
    worker.unread.erase(0, sizeof frame + frame.length);
  }
  return true;
}

}  // namespace

Result<bool> run_in_processes(std::size_t count, int jobs, const std::function<ItemReport(std::size_t)>& work,
                              const std::function<void(const ItemReport&)>& report) {
  if (jobs <= 1 || count < 2) {
    for (std::size_t i = 0; i < count && !InterruptGuard::requested(); ++i) report(work(i));
    return true;
  }
  void* const shared = mmap(nullptr, sizeof(Counter), PROT_READ | PROT_WRITE, MAP_SHARED | MAP_ANONYMOUS, -1, 0);
  if (shared == MAP_FAILED) throw std::bad_alloc();
  auto* const next = new (shared) Counter(0);
  std::vector<Worker> workers;
  for (int i = 0; i < jobs; ++i) {
    std::array<int, 2> ends{};
    if (pipe(ends.data()) != 0) break;
    const pid_t pid = fork();
    if (pid == 0) {
      close(ends[0]);
      serve(*next, count, ends[1], work);
    }
    close(ends[1]);
    if (pid < 0) {
      close(ends[0]);
      break;
    }
    workers.push_back({pid, ends[0], {}});
  }
  if (workers.empty()) {
    munmap(shared, sizeof(Counter));
    return Failure(ExitStatus::file_refused, "this computer starts no more processes", "try --jobs 1");
  }
  for (std::size_t open = workers.size(); open > 0;) {
    std::vector<pollfd> waits;
    for (const Worker& worker : workers) waits.push_back({worker.pipe, POLLIN, 0});
    if (poll(waits.data(), waits.size(), -1) < 0) continue;
    for (std::size_t i = 0; i < workers.size(); ++i) {
      if (workers[i].pipe < 0 || waits[i].revents == 0 || read_reports(workers[i], report)) continue;
      close(workers[i].pipe);
      workers[i].pipe = -1;
      --open;
    }
  }
  bool whole = true;
  for (const Worker& worker : workers) {
    int status = 0;
    while (waitpid(worker.pid, &status, 0) < 0 && errno == EINTR) {
    }
    whole = whole && WIFEXITED(status) && WEXITSTATUS(status) == 0;
  }
  munmap(shared, sizeof(Counter));
  return whole;
}

}  // namespace romanesca
