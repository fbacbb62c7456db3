#pragma once

#include "synth/live/clock_thread.h"
#include "synth/live/live_output.h"
#include "synth/live/midi_line.h"

namespace romanesca {

/// Plays an engine on a MIDI port, on a thread of its own.
class MidiOut final : public LiveOutput {
 public:
  /// Throws SystemError.
  MidiOut(LiveEngine& engine, const PortSelector& wish, bool with_clock);
  ~MidiOut() override;

  [[nodiscard]] State check() override;
  [[nodiscard]] std::int64_t offset_ns() const noexcept override { return 0; }
  [[nodiscard]] TimingStats::Summary lateness() const noexcept override { return lateness_.summary(); }
  [[nodiscard]] std::string name() const override { return line_.name(); }
  bool end() override;

 private:
  LiveEngine& engine_;
  TimingStats lateness_;
  MidiLine line_;
  MidiPerformer performer_;
  ClockThread thread_;
};

}  // namespace romanesca
