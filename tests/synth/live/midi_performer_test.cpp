#include "synth/live/midi_performer.h"

#include <gtest/gtest.h>

#include "synth/live/midi_keyboard.h"
#include "tests/synth/live/recording_sink.h"

namespace romanesca {
namespace {

using Bytes = std::vector<std::uint8_t>;

class Wire final : public MidiOutput {
 public:
  std::vector<Bytes> messages;
  void send(std::span<const std::uint8_t> message) noexcept override {
    messages.emplace_back(message.begin(), message.end());
  }
};

struct MidiPerformerTest : testing::Test {
  LivePiece piece = test::test_piece();
  Wire wire;
  TimingStats lateness;
};

TEST_F(MidiPerformerTest, ProgramsAndLevelsComeFirst) {
  MidiPerformer performer(wire, lateness, nullptr, false);
  performer.piece_changed(0, piece);
  performer.key_down(0, 1, 48, 70);
  performer.key_up(0, 1, 48);
  // Pad: channel 5 counted from 1, General MIDI program 90 counted from 1 (89 in the message), volume 100 less 3 dB by
  // 40 log10 (General MIDI level 2).
  ASSERT_EQ(wire.messages.size(), 6U);
  EXPECT_EQ(wire.messages[0], (Bytes{0xC0, static_cast<std::uint8_t>(instrument(InstrumentId::piano).program)}));
  EXPECT_EQ(wire.messages[1], (Bytes{0xB0, 7, 100}));
  EXPECT_EQ(wire.messages[2], (Bytes{0xC4, static_cast<std::uint8_t>(instrument(InstrumentId::pad).program)}));
  EXPECT_EQ(wire.messages[3], (Bytes{0xB4, 7, 84}));
  EXPECT_EQ(wire.messages[4], (Bytes{0x94, 48, 70}));
  EXPECT_EQ(wire.messages[5], (Bytes{0x84, 48, 64}));
}

TEST_F(MidiPerformerTest, ClockAndTransportOnlyOnRequest) {
  MidiPerformer quiet(wire, lateness, nullptr, false);
  quiet.transport(0, LiveSink::Transport::start);
  quiet.clock(0);
  EXPECT_TRUE(wire.messages.empty());
  MidiPerformer leading(wire, lateness, nullptr, true);
  leading.transport(0, LiveSink::Transport::start);
  leading.clock(0);
  leading.transport(0, LiveSink::Transport::stop);
  leading.transport(0, LiveSink::Transport::resume);
  EXPECT_EQ(wire.messages, (std::vector<Bytes>{{0xFA}, {0xF8}, {0xFC}, {0xFB}}));
}

TEST_F(MidiPerformerTest, SilenceReachesEveryChannel) {
  MidiPerformer performer(wire, lateness, nullptr, false);
  performer.silence(0);
  for (std::uint8_t channel = 0; channel < 16; ++channel) {
    for (const std::uint8_t controller : {64, 123, 120}) {
      const Bytes wanted{static_cast<std::uint8_t>(0xB0 | channel), controller, 0};
      EXPECT_NE(std::find(wire.messages.begin(), wire.messages.end(), wanted), wire.messages.end());
    }
  }
}

std::int64_t later() noexcept { return 1'500'000; }

TEST_F(MidiPerformerTest, MeasuresHowLateItSends) {
  MidiPerformer performer(wire, lateness, &later, false);
  performer.click(1'000'000, true);
  EXPECT_EQ(lateness.summary().events, 2U);
  EXPECT_NEAR(lateness.summary().max_ms, 0.5, 1e-9);
}

std::vector<Bytes> read(const std::vector<Bytes>& events) {
  MidiMessageReader reader;
  std::vector<Bytes> found;
  for (const Bytes& event : events) {
    reader.read(event.data(), event.size(), [&](const MidiHeard& heard) {
      found.push_back({heard.status, heard.first, heard.second});
    });
  }
  return found;
}

TEST(MidiMessageReader, ReadsWholeMessagesAndRunningStatus) {
  EXPECT_EQ(read({{0x90, 60, 100}}), (std::vector<Bytes>{{0x90, 60, 100}}));
  EXPECT_EQ(read({{0xC3, 5}}), (std::vector<Bytes>{{0xC3, 5, 0}}));
  EXPECT_EQ(read({{0x90, 60, 100, 64, 100}, {67, 0}}),
            (std::vector<Bytes>{{0x90, 60, 100}, {0x90, 64, 100}, {0x90, 67, 0}}));
}

TEST(MidiMessageReader, SkipsAllButChannelMessages) {
  EXPECT_TRUE(read({{}, {0x60}, {0xF0, 1, 2, 3, 0xF7}, {0xF8}, {0xFE}, {1, 2, 3}}).empty());
  EXPECT_EQ(read({{0x90, 60, 0xF8, 100}}), (std::vector<Bytes>{{0x90, 60, 100}})) << "clock in the middle";
  EXPECT_EQ(read({{0x90, 60}, {0x91, 61, 1}}), (std::vector<Bytes>{{0x91, 61, 1}})) << "a message cut short";
  EXPECT_TRUE(read({{0x90}, {0xF2, 1, 2}, {60, 100}}).empty()) << "system messages end running status";
}

}  // namespace
}  // namespace romanesca
