#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <string>

#include "synth/live/timing_stats.h"

namespace romanesca {

/// The controller of the sustain pedal: 64 and above is down (MIDI 1.0, table 3).
inline constexpr std::uint8_t sustain_controller = 64;

/// A received MIDI channel message with its time.
struct MidiHeard {
  std::int64_t time_ns = 0;  ///< of the monotonic clock
  std::uint8_t status = 0, first = 0, second = 0;
};

/// A MIDI input: a keyboard, foot switch or pads.
class MidiInput {
 public:
  virtual ~MidiInput() = default;
  MidiInput() = default;
  MidiInput(const MidiInput&) = delete;
  MidiInput& operator=(const MidiInput&) = delete;

  /// The next message. @return false when there is none.
  virtual bool take(MidiHeard& heard) noexcept = 0;
  [[nodiscard]] virtual std::string name() const = 0;
  /// Number of messages lost because the queue was full.
  [[nodiscard]] virtual std::uint32_t lost() const noexcept = 0;
  /// Opens the port again after it has disappeared; to be called when the output is back.
  virtual void reopen() = 0;
};

/// A microphone.
class SoundInput {
 public:
  virtual ~SoundInput() = default;
  SoundInput() = default;
  SoundInput(const SoundInput&) = delete;
  SoundInput& operator=(const SoundInput&) = delete;

  /// The next samples, one channel. @return how many there were
  virtual std::size_t take(std::span<float> samples) noexcept = 0;
  [[nodiscard]] virtual double rate_hz() const noexcept = 0;
  /// Add this to the time since the first sample for the monotonic time at which it was heard.
  [[nodiscard]] virtual std::int64_t offset_ns() const noexcept = 0;
  [[nodiscard]] virtual std::string name() const = 0;
  /// Number of samples lost because nobody took them.
  [[nodiscard]] virtual std::uint32_t lost() const noexcept = 0;
};

/// The output of an engine with its time-keeping thread: a MIDI port or the speakers. For the control thread.
class LiveOutput {
 public:
  enum class State { open, gone, back };  ///< back: reopened just now

  virtual ~LiveOutput() = default;
  LiveOutput() = default;
  LiveOutput(const LiveOutput&) = delete;
  LiveOutput& operator=(const LiveOutput&) = delete;

  /// Checks the device and reopens it when possible; to be called several times a second.
  [[nodiscard]] virtual State check() = 0;
  /// Add this to a time of the engine for the monotonic time at which it is heard.
  [[nodiscard]] virtual std::int64_t offset_ns() const noexcept = 0;
  [[nodiscard]] virtual TimingStats::Summary lateness() const noexcept = 0;
  /// Number of buffer underruns.
  [[nodiscard]] virtual std::uint32_t underruns() const noexcept { return 0; }
  [[nodiscard]] virtual std::string name() const = 0;
  /// Ends the thread, sends what is pending and closes the port.
  /// @return false if the thread hangs; then the program should exit without cleaning up.
  virtual bool end() = 0;
};

}  // namespace romanesca
