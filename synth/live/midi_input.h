#pragma once

#include <cstdint>
#include <string>

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

}  // namespace romanesca
