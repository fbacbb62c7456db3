#include "cli/studio/crew.h"

#include <poll.h>
#include <sys/mman.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <atomic>
#include <cerrno>
#include <new>
#include <vector>

#include "cli/failure.h"
#include "cli/studio/interrupt.h"

namespace romanesca {
namespace {

using Counter = std::atomic<std::size_t>;

struct Worker {
  pid_t pid = -1;
  int pipe = -1;
  std::string unread;
};

/// In the worker: pieces until there are no more, a line for each.
[[noreturn]] void serve(Counter& next, std::size_t count, int pipe,
                        const std::function<std::string(std::size_t)>& work) {
  for (std::size_t i = next++; i < count && !InterruptGuard::requested(); i = next++) {
    const std::string line = work(i) + "\n";
    for (std::size_t done = 0; done < line.size();) {
      const ssize_t written = write(pipe, line.data() + done, line.size() - done);
      if (written < 0 && errno != EINTR) _exit(1);
      if (written > 0) done += static_cast<std::size_t>(written);
    }
  }
  _exit(0);
}

/// Reads what there is. @return false at the end
bool read_lines(Worker& worker, const std::function<void(const std::string&)>& heard) {
  std::array<char, 4096> buffer{};
  const ssize_t count = read(worker.pipe, buffer.data(), buffer.size());
  if (count < 0) return errno == EINTR;
  if (count == 0) return false;
  worker.unread.append(buffer.data(), static_cast<std::size_t>(count));
  for (std::size_t end = worker.unread.find('\n'); end != std::string::npos; end = worker.unread.find('\n')) {
    heard(worker.unread.substr(0, end));
    worker.unread.erase(0, end + 1);
  }
  return true;
}

}  // namespace

bool work_in_crew(std::size_t count, int jobs, const std::function<std::string(std::size_t)>& work,
                  const std::function<void(const std::string&)>& heard) {
  if (jobs <= 1 || count < 2) {
    for (std::size_t i = 0; i < count && !InterruptGuard::requested(); ++i) heard(work(i));
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
    throw Failure(ExitStatus::file_refused, "this computer starts no more processes", "try --jobs 1");
  }
  for (std::size_t open = workers.size(); open > 0;) {
    std::vector<pollfd> waits;
    for (const Worker& worker : workers) waits.push_back({worker.pipe, POLLIN, 0});
    if (poll(waits.data(), waits.size(), -1) < 0) continue;
    for (std::size_t i = 0; i < workers.size(); ++i) {
      if (workers[i].pipe < 0 || waits[i].revents == 0 || read_lines(workers[i], heard)) continue;
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
