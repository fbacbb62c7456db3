#pragma once

#include <cstdint>
#include <memory>
#include <optional>

#include "synth/live/live_devices.h"
#include "synth/live/live_engine.h"
#include "synth/live/port_list.h"

namespace romanesca {

/// What live playing needs of the environment: the clock, keys, ports. Tests have one of their own, with a clock that
/// they turn.
class LiveEnvironment {
 public:
  struct Size {
    int columns = 80, rows = 24;
  };

  virtual ~LiveEnvironment() = default;
  LiveEnvironment() = default;
  LiveEnvironment(const LiveEnvironment&) = delete;
  LiveEnvironment& operator=(const LiveEnvironment&) = delete;

  /// Of a clock that does not go back.
  [[nodiscard]] virtual std::int64_t now_ns() = 0;
  /// Waits up to so long for a key of the computer's keyboard; key_closed when the terminal has gone.
  [[nodiscard]] virtual std::optional<int> next_key(int wait_ms) = 0;
  /// Ctrl-C, or another request of the system to end.
  [[nodiscard]] virtual bool asked_to_end() = 0;
  [[nodiscard]] virtual Size size() = 0;
  /// The terminal can show blocks and circles (UTF-8).
  [[nodiscard]] virtual bool has_blocks() = 0;

  // These throw SystemError.
  [[nodiscard]] virtual std::unique_ptr<LiveOutput> open_port(LiveEngine& engine, const PortSelector& wish,
                                                              bool with_clock) = 0;
  [[nodiscard]] virtual std::unique_ptr<LiveOutput> open_speakers(LiveEngine& engine,
                                                                  const AudioDeviceSettings& wish) = 0;
  [[nodiscard]] virtual std::unique_ptr<MidiInput> open_input(const PortSelector& wish) = 0;
};

}  // namespace romanesca
