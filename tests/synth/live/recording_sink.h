#pragma once

#include <algorithm>
#include <iterator>
#include <map>
#include <string>
#include <utility>
#include <vector>

#include "synth/live/live_engine.h"

namespace romanesca::test {

/// Records what an engine plays.
class RecordingSink final : public LiveSink {
 public:
  struct Played {
    std::int64_t at_ns = 0;
    std::string what;  ///< "down", "up", "click", "Click", "start", "go on", "stop", "clock", "silence", "piece"
    int part = 0, midi = 0, velocity = 0;
  };
  std::vector<Played> played;

  void key_down(std::int64_t due, std::uint8_t part, std::uint8_t midi, std::uint8_t velocity) noexcept override {
    played.push_back({due, "down", part, midi, velocity});
    ++sounding_[{part, midi}];
  }
  void key_up(std::int64_t due, std::uint8_t part, std::uint8_t midi) noexcept override {
    played.push_back({due, "up", part, midi, 0});
    if (--sounding_[{part, midi}] == 0) sounding_.erase({part, midi});
  }
  void piece_changed(std::int64_t due, const LivePiece& /*piece*/) noexcept override { add(due, "piece"); }
  void click(std::int64_t due, bool first) noexcept override { add(due, first ? "Click" : "click"); }
  void transport(std::int64_t due, Transport what) noexcept override {
    add(due, what == Transport::start ? "start" : what == Transport::resume ? "go on" : "stop");
  }
  void clock(std::int64_t due) noexcept override { add(due, "clock"); }
  void silence(std::int64_t due) noexcept override { add(due, "silence"); }

  /// Keys that are down, each with how often it went down more than up.
  [[nodiscard]] const std::map<std::pair<int, int>, int>& sounding() const { return sounding_; }
  /// The events of one kind, in order.
  [[nodiscard]] std::vector<Played> only(const std::string& what) const {
    std::vector<Played> some;
    std::copy_if(played.begin(), played.end(), std::back_inserter(some),
                 [&](const Played& each) { return each.what == what; });
    return some;
  }

 private:
  void add(std::int64_t due, const char* what) { played.push_back({due, what, 0, 0, 0}); }
  std::map<std::pair<int, int>, int> sounding_;
};

/// Two parts over so many bars of 4/4: a piano with a quarter note on every beat, going up from 60, and a pad that
/// holds 48 through each bar. A chord on every bar.
inline LivePiece test_piece(int bars = 4, int transposed_by = 0) {
  Performance performance;
  performance.parts = {{"keys", InstrumentId::piano, 0, false}, {"pad", InstrumentId::pad, -3, false}};
  performance.tempo = TempoMap(120);
  performance.length = Beats(4 * bars);
  std::vector<LiveChord> chords;
  for (int beat = 0; beat < 4 * bars; ++beat) {
    performance.events.push_back(
        {Beats(beat), Beats(1), static_cast<std::uint8_t>(60 + beat % 12 + transposed_by), 80, 0});
    if (beat % 4 == 0) {
      performance.events.push_back({Beats(beat), Beats(4), static_cast<std::uint8_t>(48 + transposed_by), 70, 1});
      chords.push_back({beat * live_ticks, (beat + 4) * live_ticks, false});
    }
  }
  return lay_out(performance, MeterMap(Meter{4, 4}), std::move(chords), {{0, bars / 2}, {bars / 2, bars - bars / 2}});
}

inline constexpr std::int64_t second_ns = 1'000'000'000;

/// An engine, its sink and a clock that the test turns.
struct Rig {
  explicit Rig(const LivePiece& piece, double bpm = 120) : engine(piece, bpm) {}
  LiveEngine engine;
  RecordingSink sink;
  std::int64_t now_ns = 0;

  void push(LiveCommand::Kind kind, int number = 0, int count = 0, double value = 0) {
    LiveCommand command;
    command.kind = kind;
    command.number = number;
    command.count = count;
    command.value = value;
    engine.push_command(command);
  }
  void push_piece(const LivePiece& piece, bool at_once, std::uint32_t mutes = 0) {
    LiveCommand command;
    command.kind = LiveCommand::Kind::piece;
    command.piece = &piece;
    command.at_once = at_once;
    command.number = static_cast<std::int32_t>(mutes);
    engine.push_command(command);
  }
  /// Lets time pass, as a clock thread does: it wakes when something is due, and every few milliseconds.
  void pass(std::int64_t ns) {
    const std::int64_t until = now_ns + ns;
    engine.run(now_ns, now_ns, sink);
    while (now_ns < until) {
      now_ns = std::min({until, now_ns + 4'000'000, std::max(engine.next_due(), now_ns + 1)});
      engine.run(now_ns, now_ns, sink);
    }
  }
  std::vector<LiveEvent> events() {
    std::vector<LiveEvent> all;
    for (LiveEvent event; engine.pop_event(event);) all.push_back(event);
    return all;
  }
};

}  // namespace romanesca::test
