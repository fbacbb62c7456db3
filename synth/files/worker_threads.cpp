#include "synth/files/worker_threads.h"

#include <algorithm>
#include <system_error>

namespace romanesca {

WorkerThreads::WorkerThreads(int threads) {
  try {
    for (int i = 1; i < std::clamp(threads, 1, 64); ++i) threads_.emplace_back([this] { wait_for_jobs(); });
  } catch (const std::system_error&) {  // the system gives no more: fewer threads do the work
  }
}

WorkerThreads::~WorkerThreads() {
  {
    const std::lock_guard lock(mutex_);
    ending_ = true;
  }
  work_to_do_.notify_all();
  for (std::thread& thread : threads_) thread.join();
}

void WorkerThreads::wait_for_jobs() noexcept {
  std::unique_lock lock(mutex_);
  while (!ending_) {
    work(lock);
    work_to_do_.wait(lock, [&] { return ending_ || next_ < count_; });
  }
}

void WorkerThreads::work(std::unique_lock<std::mutex>& lock) noexcept {
  while (next_ < count_) {
    const std::size_t number = next_++;
    const Job job = *job_;
    lock.unlock();
    job.run(job.context, number);
    lock.lock();
    if (--unfinished_ == 0) all_done_.notify_one();
  }
}

void WorkerThreads::run(std::size_t count, const Job& job) noexcept {
  std::unique_lock lock(mutex_);
  job_ = &job;
  next_ = 0;
  count_ = unfinished_ = count;
  work_to_do_.notify_all();
  work(lock);
  all_done_.wait(lock, [&] { return unfinished_ == 0; });
  count_ = 0;
}

}  // namespace romanesca
