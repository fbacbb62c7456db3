#pragma once

#include <cstdint>
#include <memory>
#include <optional>

#include "synth/live/live_devices.h"
#include "synth/live/live_engine.h"
#include "synth/live/port_list.h"

namespace romanesca {

/// What live playing needs from outside: the clock, the computer's keyboard, ports. Tests have their own, with a
/// simulated clock.
class LiveEnvironment {
 public:
  struct Size {
    int columns = 80, rows = 24;
  };

  virtual ~LiveEnvironment() = default;
  LiveEnvironment() = default;
  LiveEnvironment(const LiveEnvironment&) = delete;
  LiveEnvironment& operator=(const LiveEnvironment&) = delete;

  /// Time of a monotonic clock.
  [[nodiscard]] virtual std::int64_t now_ns() = 0;
  /// Waits up to @p wait_ms for a key of the computer's keyboard; key_closed when the terminal was closed.
  [[nodiscard]] virtual std::optional<int> next_key(int wait_ms) = 0;
  /// Whether Ctrl-C was pressed or the system asked the program to end.
  [[nodiscard]] virtual bool asked_to_end() = 0;
  [[nodiscard]] virtual Size size() = 0;
  /// Whether the terminal can show block characters (UTF-8).
  [[nodiscard]] virtual bool has_blocks() = 0;

  // These throw SystemError.
  [[nodiscard]] virtual std::unique_ptr<LiveOutput> open_port(LiveEngine& engine, const PortSelector& selector,
                                                              bool with_clock) = 0;
  [[nodiscard]] virtual std::unique_ptr<LiveOutput> open_speakers(LiveEngine& engine,
                                                                  const AudioDeviceSettings& settings) = 0;
  [[nodiscard]] virtual std::unique_ptr<MidiInput> open_input(const PortSelector& selector) = 0;
  [[nodiscard]] virtual std::unique_ptr<SoundInput> open_microphone(const AudioDeviceSettings& settings) = 0;
};

}  // namespace romanesca
