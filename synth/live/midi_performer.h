#pragma once

#include <cstdint>
#include <span>

#include "synth/live/live_messages.h"
#include "synth/live/timing_stats.h"

namespace romanesca {

/// Sends MIDI messages. send() neither throws nor blocks for long.
class MidiOutput {
 public:
  virtual ~MidiOutput() = default;
  MidiOutput() = default;
  MidiOutput(const MidiOutput&) = delete;
  MidiOutput& operator=(const MidiOutput&) = delete;
  virtual void send(std::span<const std::uint8_t> message) noexcept = 0;
};

/// The monotonic time.
using NowNs = std::int64_t (*)() noexcept;

/// Plays the band on a MIDI port: General MIDI programs and levels first, then notes on the channels of the parts
/// (MIDI 1.0; General MIDI level 1). Measures how late each message is sent.
class MidiPerformer final : public LiveSink {
 public:
  /// @param now for measuring lateness; null for none. @param with_clock sends start, stop and clock.
  MidiPerformer(MidiOutput& output, TimingStats& lateness, NowNs now, bool with_clock)
      : output_(output), lateness_(lateness), now_(now), with_clock_(with_clock) {}

  void key_down(std::int64_t due_ns, std::uint8_t part, std::uint8_t midi, std::uint8_t velocity) noexcept override;
  void key_up(std::int64_t due_ns, std::uint8_t part, std::uint8_t midi) noexcept override;
  void piece_changed(std::int64_t due_ns, const LivePiece& piece) noexcept override;
  void click(std::int64_t due_ns, bool first_of_bar) noexcept override;
  void transport(std::int64_t due_ns, Transport what) noexcept override;
  void clock(std::int64_t due_ns) noexcept override;
  void silence(std::int64_t due_ns) noexcept override;

 private:
  void send(std::int64_t due_ns, std::span<const std::uint8_t> message) noexcept;
  void send3(std::int64_t due_ns, int status, int first, int second) noexcept;

  MidiOutput& output_;
  TimingStats& lateness_;
  NowNs now_;
  bool with_clock_;
  const LivePiece* piece_ = nullptr;
};

}  // namespace romanesca
