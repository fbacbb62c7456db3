#pragma once

#include <atomic>
#include <cstdint>
#include <thread>

#include "synth/live/live_engine.h"

namespace romanesca {

/// Nanoseconds of the monotonic clock.
[[nodiscard]] std::int64_t monotonic_ns() noexcept;

/// Runs an engine on a thread of its own that sleeps until the next thing is due, by absolute times. The thread asks
/// the system for precedence and does without where it is not given.
class ClockThread {
 public:
  ClockThread(LiveEngine& engine, LiveSink& sink);
  /// Ends the thread, if it still answers.
  ~ClockThread();
  ClockThread(const ClockThread&) = delete;
  ClockThread& operator=(const ClockThread&) = delete;

  /// How long the thread has not come back from its work, in nanoseconds: more than a second means that the MIDI system
  /// has swallowed it.
  [[nodiscard]] std::int64_t silent_for_ns() const noexcept;
  /// Asks the thread to end and waits for it. @return false if it did not within @p wait_ns; it is then left behind,
  /// and what it uses must outlive the program.
  bool end(std::int64_t wait_ns) noexcept;

 private:
  void work() noexcept;

  LiveEngine& engine_;
  LiveSink& sink_;
  std::atomic<bool> ending_{false}, ended_{false};
  std::atomic<std::int64_t> heartbeat_ns_;
  std::thread thread_;
};

}  // namespace romanesca
