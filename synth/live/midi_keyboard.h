#pragma once

#include <atomic>
#include <cstdint>
#include <string>

#include "synth/live/clock_thread.h"
#include "synth/live/live_devices.h"
#include "synth/live/port_list.h"
#include "synth/live/spsc_queue.h"

namespace romanesca {

/// Parses channel messages, with or without running status (MIDI 1.0). Anything else is skipped.
class MidiMessageReader {
 public:
  /// Calls @p use with each message, its time not set.
  template <typename Use>
  void read(const unsigned char* bytes, std::size_t count, const Use& use) noexcept {
    for (std::size_t i = 0; i < count; ++i) feed(bytes[i], use);
  }

 private:
  template <typename Use>
  void feed(std::uint8_t byte, const Use& use) noexcept {
    if (byte >= 0xF8) return;  // real-time messages may come anywhere and do not end running status
    if (byte >= 0x80) {
      status_ = byte < 0xF0 ? byte : 0;
      have_ = 0;
      return;
    }
    if (status_ == 0) return;
    const bool one = (status_ & 0xE0U) == 0xC0;
    if (!one && have_ == 0) {
      first_ = byte;
      have_ = 1;
      return;
    }
    have_ = 0;
    use(one ? MidiHeard{0, status_, byte, 0} : MidiHeard{0, status_, first_, byte});
  }

  std::uint8_t status_ = 0, first_ = 0;
  int have_ = 0;
};

/// A MIDI input port. RtMidi's thread puts its messages into a queue.
class MidiKeyboard final : public MidiInput {
 public:
  /// Throws SystemError.
  explicit MidiKeyboard(PortSelector selector);
  ~MidiKeyboard() override;

  bool take(MidiHeard& heard) noexcept override { return queue_.take(heard); }
  [[nodiscard]] std::string name() const override { return port_.name; }
  [[nodiscard]] std::uint32_t lost() const noexcept override { return lost_.load(std::memory_order_relaxed); }
  void reopen() override;

 private:
  static void on_message(double delta, std::vector<unsigned char>* bytes, void* self) noexcept;
  void open();
  void close() noexcept;

  PortSelector selector_;
  OpenPort<RtMidiIn> port_;
  MidiMessageReader reader_;
  SpscQueue<MidiHeard, 8192> queue_;
  std::atomic<std::uint32_t> lost_{0};
};

}  // namespace romanesca
