// The time-keeping thread does not allocate, and nothing is shared without synchronisation.
#include <gtest/gtest.h>

#include <array>
#include <atomic>
#include <chrono>
#include <thread>

#include "synth/live/clock_thread.h"
#include "synth/live/live_band.h"
#include "synth/live/midi_performer.h"
#include "tests/synth/allocations.h"
#include "tests/synth/live/recording_sink.h"

namespace romanesca {
namespace {

using Kind = LiveCommand::Kind;

/// Counts keys that are down on each channel; for one thread while another one looks afterwards.
class CountingWire final : public MidiOutput {
 public:
  std::array<std::array<int, 128>, 16> down{};
  std::atomic<int> messages{0};
  void send(std::span<const std::uint8_t> message) noexcept override {
    messages.fetch_add(1);
    const int kind = message[0] & 0xF0;
    if (kind == 0x90) ++down[message[0] & 0x0FU][message[1]];
    if (kind == 0x80) --down[message[0] & 0x0FU][message[1]];
  }
};

/// A lesson's worth of commands.
void command(LiveEngine& engine, int step, const LivePiece& first, const LivePiece& second) {
  constexpr std::array kinds{Kind::start, Kind::tempo, Kind::mutes, Kind::piece, Kind::loop,  Kind::go_to,
                             Kind::clock, Kind::stop,  Kind::start, Kind::piece, Kind::tempo, Kind::panic};
  LiveCommand command;
  command.kind = kinds[static_cast<std::size_t>(step) % kinds.size()];
  command.number = step % 3;
  command.count = step % 4;
  command.value = 100 + step * 7 % 200;
  command.at_once = step % 2 == 0;
  command.piece = step % 24 < 12 ? &second : &first;
  engine.push_command(command);
}

TEST(LiveThreads, TheEngineAndMidiDoNotAllocate) {
  const LivePiece first = test::test_piece();
  const LivePiece second = test::test_piece(4, 3);
  LiveEngine engine(first, 120);
  CountingWire wire;
  TimingStats lateness;
  MidiPerformer performer(wire, lateness, &monotonic_ns, true);
  const long before = test::allocations();
  std::int64_t now = 0;
  for (int step = 0; step < 120; ++step) {
    command(engine, step, first, second);
    for (int i = 0; i < 50; ++i) engine.run(now, now, performer), now += 10'000'000;
    for (LiveEvent event; engine.pop_event(event);) {
    }
    for (const LivePiece* piece = nullptr; engine.pop_retired(piece);) {
    }
  }
  EXPECT_EQ(test::allocations() - before, 0);
  EXPECT_GT(wire.messages.load(), 500);
}

TEST(LiveThreads, TheBandDoesNotAllocate) {
  LivePiece first = test::test_piece();
  LivePiece second = test::test_piece(4, 3);
  first.players = std::make_shared<LivePlayers>(first, 48000, 0.0);
  second.players = std::make_shared<LivePlayers>(second, 48000, 0.0);
  LiveEngine engine(first, 120);
  LiveBand band(engine, 48000);
  std::array<float, 480> left{}, right{};
  const long before = test::allocations();
  for (int step = 0; step < 60; ++step) {
    command(engine, step, first, second);
    for (int i = 0; i < 20; ++i) band.render({left.data(), right.data(), left.size()});
  }
  EXPECT_EQ(test::allocations() - before, 0);
}

TEST(LiveThreads, ALessonOnTwoThreadsEndsInSilence) {
  const LivePiece first = test::test_piece();
  const LivePiece second = test::test_piece(4, 3);
  LiveEngine engine(first, 400);
  CountingWire wire;
  TimingStats lateness;
  MidiPerformer performer(wire, lateness, &monotonic_ns, true);
  int events = 0;
  {
    ClockThread thread(engine, performer);
    for (int step = 0; step < 100; ++step) {
      command(engine, step, first, second);
      std::this_thread::sleep_for(std::chrono::milliseconds(5));
      for (LiveEvent event; engine.pop_event(event);) ++events;
      for (const LivePiece* piece = nullptr; engine.pop_retired(piece);) {
      }
      EXPECT_LE(engine.place(), first.length());
      static_cast<void>(lateness.summary());
    }
    LiveCommand stop;
    stop.kind = Kind::stop;
    engine.push_command(stop);
    EXPECT_LT(thread.silent_for_ns(), 10'000'000'000);
    EXPECT_TRUE(thread.end(10'000'000'000));
  }
  EXPECT_GT(events, 50);
  for (const auto& channel : wire.down) {
    for (const int count : channel) EXPECT_EQ(count, 0);
  }
}

}  // namespace
}  // namespace romanesca
