#include "synth/sound/bar_stream.h"

#include <gtest/gtest.h>

#include "tests/measure/sound_meter.h"
#include "tests/sweep.h"

namespace romanesca {
namespace {

constexpr double stream_rate = 48000;

/// Piano and bass; each bar has notes that are held over its end.
Performance four_bars(double bpm, InstrumentId keys = InstrumentId::piano) {
  Performance piece;
  piece.tempo = TempoMap(bpm);
  piece.length = Beats(16);
  piece.parts = {{"keys", keys, 0, false}, {"bass", InstrumentId::electric_bass, 0, false}};
  for (int beat = 0; beat < 16; ++beat) {
    const auto up = static_cast<std::uint8_t>(60 + 5 * beat % 12);
    piece.events.push_back({Beats(beat) + Beats(1, 2), Beats(2), up, 90, 0});
    if (beat % 4 == 3) piece.events.push_back({Beats(beat), Beats(3), 40, 100, 1});
  }
  return piece;
}

StreamBar bar_of(const Performance& piece, int bar) {
  StreamBar result{piece, Beats(4 * bar), -3, {}};
  result.performance.length = Beats(4);
  std::erase_if(result.performance.events, [&](const NoteEvent& event) {
    return event.start < result.from || event.start >= result.from + Beats(4);
  });
  return result;
}

struct StreamedSound {
  std::vector<float> left, right;
  void add(BarStream& stream, const StreamBar& bar) {
    std::vector<float> more_left, more_right;
    stream.render(bar, more_left, more_right);
    left.insert(left.end(), more_left.begin(), more_left.end());
    right.insert(right.end(), more_right.begin(), more_right.end());
  }
};

/// At 120 a minute and 48 kHz a bar of four is 96,000 frames, a multiple of the block: cut or not, the sound is the
/// same.
TEST(BarStream, BarAfterBarSoundsAsOnePiece) {
  const Performance piece = four_bars(120);
  BarStream whole_stream(stream_rate), stream(stream_rate);
  StreamedSound whole, bars;
  whole.add(whole_stream, {piece, Beats(0), -3, {}});
  for (int bar = 0; bar < 4; ++bar) bars.add(stream, bar_of(piece, bar));
  ASSERT_EQ(whole.left.size(), 4U * 96000U);
  EXPECT_EQ(whole.left, bars.left);
  EXPECT_EQ(whole.right, bars.right);
  EXPECT_GT(test::level_db(whole.left), -40);
}

TEST(BarStream, BarsDoNotDrift) {
  BarStream stream(44100);
  std::size_t frames = 0;
  const int bars = static_cast<int>(test::repetitions(200));
  for (int bar = 0; bar < bars; ++bar) {
    std::vector<float> left, right;
    stream.render(bar_of(four_bars(97), bar % 4), left, right);
    EXPECT_EQ(left.size() % block_frames, 0U);
    frames += left.size();
  }
  EXPECT_NEAR(static_cast<double>(frames), bars * 4 * 60 / 97.0 * 44100, block_frames);
}

/// What rang before a change of instruments rings on, without a jump, and is then silent.
TEST(BarStream, ReplacedPlayersRingOn) {
  BarStream stream(stream_rate);
  StreamedSound sound;
  Performance piece = four_bars(120);
  sound.add(stream, bar_of(piece, 0));
  const std::size_t change = sound.left.size();
  StreamBar rest = bar_of(four_bars(120, InstrumentId::organ), 1);
  rest.performance.events.clear();
  sound.add(stream, rest);
  const auto level = [&](std::size_t from, std::size_t count) {
    return test::level_db(std::span<const float>(sound.left).subspan(from, count));
  };
  const double before = level(change - 4800, 4800);
  EXPECT_GT(before, -40);
  EXPECT_NEAR(level(change, 960), before, 6);
  float steepest = 0, at_line = 0;
  for (std::size_t i = 1; i < change; ++i) steepest = std::max(steepest, std::abs(sound.left[i] - sound.left[i - 1]));
  for (std::size_t i = change - 64; i < change + 512; ++i) {
    at_line = std::max(at_line, std::abs(sound.left[i] - sound.left[i - 1]));
  }
  EXPECT_LE(at_line, steepest);
  for (int bar = 0; bar < 2; ++bar) sound.add(stream, rest);
  EXPECT_LT(level(sound.left.size() - 9600, 9600), -70);
}

TEST(BarStream, AMutedPartFallsSilentAndComesBack) {
  BarStream stream(stream_rate);
  const auto sound_with = [&](bool muted) {
    StreamBar bar = bar_of(four_bars(120), 0);
    for (Part& part : bar.performance.parts) part.muted = muted;
    std::vector<float> left, right;
    stream.render(bar, left, right);
    return test::level_db(std::span<const float>(left).subspan(48000));
  };
  EXPECT_GT(sound_with(false), -40);
  EXPECT_LT(sound_with(true), -60);
  EXPECT_GT(sound_with(false), -40);
}

TEST(BarStream, NothingClipsHoweverLoud) {
  BarStream stream(stream_rate);
  StreamBar bar = bar_of(four_bars(120), 0);
  bar.gain_db = 30;
  std::vector<float> left, right;
  stream.render(bar, left, right);
  EXPECT_GT(test::peak(left), 0.5f);
  EXPECT_LE(test::peak(left), 0.9f);
}

}  // namespace
}  // namespace romanesca
