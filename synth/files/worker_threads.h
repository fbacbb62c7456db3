#pragma once

#include <condition_variable>
#include <mutex>
#include <thread>
#include <vector>

#include "synth/sound/band.h"

namespace romanesca {

/// A thread pool that waits between jobs. The thread that calls run() works too.
class WorkerThreads final : public Workers {
 public:
  /// @param threads in all, 1 to 64; with 1 there is only the caller's.
  explicit WorkerThreads(int threads);
  ~WorkerThreads() override;
  WorkerThreads(const WorkerThreads&) = delete;
  WorkerThreads& operator=(const WorkerThreads&) = delete;

  void run(std::size_t count, const Job& job) noexcept override;

 private:
  void wait_for_jobs() noexcept;
  /// Runs tasks until none is left. @param lock held on entry and exit, not while a task runs.
  void work(std::unique_lock<std::mutex>& lock) noexcept;

  std::mutex mutex_;
  std::condition_variable work_to_do_, all_done_;
  const Job* job_ = nullptr;
  std::size_t next_ = 0, count_ = 0, unfinished_ = 0;
  bool ending_ = false;
  std::vector<std::thread> threads_;
};

}  // namespace romanesca
