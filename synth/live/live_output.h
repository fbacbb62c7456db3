#pragma once

#include <cstdint>
#include <string>

#include "synth/live/timing_stats.h"

namespace romanesca {

/// What an engine plays on, with the thread that keeps its time: a MIDI port or the speakers. All of it is for the
/// thread with the controls.
class LiveOutput {
 public:
  enum class State { open, gone, back };  ///< back: opened again just now

  virtual ~LiveOutput() = default;
  LiveOutput() = default;
  LiveOutput(const LiveOutput&) = delete;
  LiveOutput& operator=(const LiveOutput&) = delete;

  /// Looks after it; to be called several times a second.
  [[nodiscard]] virtual State check() = 0;
  /// What is added to a time of the engine to get one of the monotonic clock, when it is heard.
  [[nodiscard]] virtual std::int64_t offset_ns() const noexcept = 0;
  [[nodiscard]] virtual TimingStats::Summary lateness() const noexcept = 0;
  /// Times that the device ran out of sound.
  [[nodiscard]] virtual std::uint32_t underruns() const noexcept { return 0; }
  [[nodiscard]] virtual std::string name() const = 0;
  /// Ends the thread, then closes the port with all that is on its way delivered.
  /// @return false where something did not come back; then the program should end without clearing up.
  virtual bool end() = 0;
};

}  // namespace romanesca
