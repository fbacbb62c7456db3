#pragma once

#include <atomic>
#include <cstdint>
#include <memory>
#include <string>

#include "synth/live/clock_thread.h"
#include "synth/live/jack_watch.h"
#include "synth/live/live_devices.h"
#include "synth/live/midi_performer.h"
#include "synth/live/port_list.h"

namespace romanesca {

/// An open MIDI output port that notices when it disappears and reopens it when it is back. One thread sends; another
/// one calls check().
class MidiOutPort final : public MidiOutput {
 public:
  /// Throws SystemError.
  explicit MidiOutPort(PortSelector selector);
  ~MidiOutPort() override;

  /// Drops the message while the port is gone.
  void send(std::span<const std::uint8_t> message) noexcept override;

  enum class State { open, gone, back };  ///< back: reopened just now
  /// Checks whether the port exists; takes some milliseconds. @param now_ns of the monotonic clock.
  [[nodiscard]] State check(std::int64_t now_ns);
  [[nodiscard]] const std::string& name() const noexcept { return port_.name; }

 private:
  void open();
  void close() noexcept;
  [[nodiscard]] bool port_alive(std::int64_t now_ns);

  PortSelector selector_;
  OpenPort<RtMidiOut> port_;
  std::unique_ptr<JackWatch> watch_;
  std::uint32_t cycles_ = 0;
  std::int64_t cycles_at_ns_ = 0, checked_at_ns_ = 0;
  bool gone_ = false;
  std::atomic<JackWatch*> server_{nullptr};  ///< for the sending thread
  std::atomic<bool> open_{false}, sending_{false};
};

/// Plays an engine on a MIDI port, on a thread of its own.
class MidiOut final : public LiveOutput {
 public:
  /// Throws SystemError.
  MidiOut(LiveEngine& engine, const PortSelector& selector, bool with_clock);
  ~MidiOut() override;

  [[nodiscard]] State check() override;
  [[nodiscard]] std::int64_t offset_ns() const noexcept override { return 0; }
  [[nodiscard]] TimingStats::Summary lateness() const noexcept override { return lateness_.summary(); }
  [[nodiscard]] std::string name() const override { return port_.name(); }
  bool end() override;

 private:
  LiveEngine& engine_;
  TimingStats lateness_;
  MidiOutPort port_;
  MidiPerformer performer_;
  ClockThread thread_;
};

}  // namespace romanesca
