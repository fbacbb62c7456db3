#pragma once

#include <cstdint>

#include "synth/live/live_piece.h"

namespace romanesca {

/// Takes what the band plays, as it is due. Called on the thread that keeps time: nothing here may allocate, lock or
/// throw.
class LiveSink {
 public:
  enum class Transport : std::uint8_t { start, go_on, stop };

  virtual ~LiveSink() = default;
  LiveSink() = default;
  LiveSink(const LiveSink&) = delete;
  LiveSink& operator=(const LiveSink&) = delete;

  virtual void key_down(std::int64_t due_ns, std::uint8_t part, std::uint8_t midi, std::uint8_t velocity) noexcept = 0;
  virtual void key_up(std::int64_t due_ns, std::uint8_t part, std::uint8_t midi) noexcept = 0;
  /// Other players from now on; all keys are up.
  virtual void piece_changed(std::int64_t due_ns, const LivePiece& piece) noexcept = 0;
  virtual void click(std::int64_t due_ns, bool first_of_bar) noexcept = 0;  ///< of a count-in
  virtual void transport(std::int64_t due_ns, Transport what) noexcept = 0;
  virtual void clock(std::int64_t due_ns) noexcept = 0;    ///< 24 to a quarter note
  virtual void silence(std::int64_t due_ns) noexcept = 0;  ///< of everything, whatever is thought to sound
};

}  // namespace romanesca
