#pragma once

#include <atomic>
#include <cstdint>
#include <thread>

#include "synth/live/live_engine.h"

namespace romanesca {

/// Nanoseconds of the monotonic clock.
[[nodiscard]] std::int64_t monotonic_ns() noexcept;

/// Runs an engine on a thread of its own that sleeps until the next event is due, by absolute times. It requests
/// real-time priority and works without it.
class ClockThread {
 public:
  ClockThread(LiveEngine& engine, LiveSink& sink);
  /// Ends the thread unless it hangs.
  ~ClockThread();
  ClockThread(const ClockThread&) = delete;
  ClockThread& operator=(const ClockThread&) = delete;

  /// Nanoseconds since the thread's last turn: more than a second means that it hangs in the MIDI system.
  [[nodiscard]] std::int64_t silent_for_ns() const noexcept;
  /// Ends the thread and waits for it. @return false if it did not end within @p wait_ns; it is then detached, and what
  /// it uses must live as long as the program.
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
