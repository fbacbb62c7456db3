#pragma once

#include <cstdint>
#include <string>

#include "synth/live/timing_stats.h"

namespace romanesca {

/// The controller of the right pedal: 64 and above is down (MIDI 1.0, table 3).
inline constexpr std::uint8_t sustain_controller = 64;

/// A channel message that came in, and when.
struct MidiHeard {
  std::int64_t time_ns = 0;  ///< of the monotonic clock
  std::uint8_t status = 0, first = 0, second = 0;
};

/// A keyboard, foot switch or set of pads that plays into the program.
class MidiInput {
 public:
  virtual ~MidiInput() = default;
  MidiInput() = default;
  MidiInput(const MidiInput&) = delete;
  MidiInput& operator=(const MidiInput&) = delete;

  /// The next message. @return false when there is none.
  virtual bool take(MidiHeard& heard) noexcept = 0;
  [[nodiscard]] virtual std::string name() const = 0;
  /// Messages that came faster than they were taken, and are lost.
  [[nodiscard]] virtual std::uint32_t lost() const noexcept = 0;
  /// Opens the port again if it has gone and come back; to be called when the output says that it is back.
  virtual void reopen() = 0;
};

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
