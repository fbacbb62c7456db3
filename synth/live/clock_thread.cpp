#include "synth/live/clock_thread.h"

#include <pthread.h>
#include <sched.h>
#include <sys/prctl.h>

#include <algorithm>
#include <cerrno>
#include <chrono>
#include <ctime>

namespace romanesca {
namespace {

constexpr std::int64_t longest_sleep_ns = 4'000'000;  // so often commands are read
constexpr std::int64_t busy_wait_ns = 150'000;  // busy-waiting before an event is due, longer than waking up takes

void sleep_until(std::int64_t time_ns) noexcept {
  timespec time{};
  time.tv_sec = static_cast<time_t>(time_ns / 1'000'000'000);
  time.tv_nsec = static_cast<long>(time_ns % 1'000'000'000);
  while (clock_nanosleep(CLOCK_MONOTONIC, TIMER_ABSTIME, &time, nullptr) == EINTR) {
  }
}

void request_realtime_priority() noexcept {
  prctl(PR_SET_TIMERSLACK, 1UL);  // the kernel must not delay our timers
  sched_param parameter{};
  parameter.sched_priority = 10;
  pthread_setschedparam(pthread_self(), SCHED_FIFO, &parameter);  // not permitted to most users; it works without
}

}  // namespace

std::int64_t monotonic_ns() noexcept {
  timespec time{};
  clock_gettime(CLOCK_MONOTONIC, &time);
  return static_cast<std::int64_t>(time.tv_sec) * 1'000'000'000 + time.tv_nsec;
}

ClockThread::ClockThread(LiveEngine& engine, LiveSink& sink)
    : engine_(engine), sink_(sink), heartbeat_ns_(monotonic_ns()), thread_([this] { work(); }) {}

ClockThread::~ClockThread() { end(1'000'000'000); }

std::int64_t ClockThread::silent_for_ns() const noexcept {
  return monotonic_ns() - heartbeat_ns_.load(std::memory_order_relaxed);
}

bool ClockThread::end(std::int64_t wait_ns) noexcept {
  if (!thread_.joinable()) return true;
  ending_.store(true);
  const std::int64_t until = monotonic_ns() + wait_ns;
  while (!ended_.load() && monotonic_ns() < until) std::this_thread::sleep_for(std::chrono::milliseconds(1));
  if (!ended_.load()) {
    thread_.detach();
    return false;
  }
  thread_.join();
  return true;
}

void ClockThread::work() noexcept {
  request_realtime_priority();
  while (!ending_.load(std::memory_order_relaxed)) {
    const std::int64_t now = monotonic_ns();
    engine_.run(now, now, sink_);
    heartbeat_ns_.store(now, std::memory_order_relaxed);
    const std::int64_t due = engine_.next_due();
    const std::int64_t wake = std::min(now + longest_sleep_ns, due);
    if (wake - busy_wait_ns > now) sleep_until(wake - busy_wait_ns);
    if (wake == due) {
      while (monotonic_ns() < due && !ending_.load(std::memory_order_relaxed)) {
      }
    }
  }
  const std::int64_t now = monotonic_ns();
  engine_.run(now, now, sink_);  // the last commands
  ended_.store(true);
}

}  // namespace romanesca
