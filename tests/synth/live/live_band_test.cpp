#include "synth/live/live_band.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numeric>

#include "tests/synth/live/recording_sink.h"

namespace romanesca {
namespace {

constexpr double live_rate = 48000;

struct BandSound {
  std::vector<float> left, right;
};

/// @param cuts lengths of the blocks, repeated
BandSound play(LiveBand& band, std::size_t frames, const std::vector<std::size_t>& cuts) {
  BandSound sound;
  for (std::size_t i = 0; sound.left.size() < frames; ++i) {
    const std::size_t count = std::min(cuts[i % cuts.size()], frames - sound.left.size());
    std::vector<float> left(count), right(count);
    band.render({left.data(), right.data(), count});
    sound.left.insert(sound.left.end(), left.begin(), left.end());
    sound.right.insert(sound.right.end(), right.begin(), right.end());
  }
  return sound;
}

double level(const std::vector<float>& samples, std::size_t from, std::size_t to) {
  double sum = 0;
  for (std::size_t i = from; i < to; ++i) sum += static_cast<double>(samples[i]) * static_cast<double>(samples[i]);
  return std::sqrt(sum / static_cast<double>(to - from));
}

LivePiece with_players(int transposed_by = 0) {
  LivePiece piece = test::test_piece(4, transposed_by);
  piece.players = std::make_shared<LivePlayers>(piece, live_rate, -6.0);
  return piece;
}

void start(LiveEngine& engine, int count_in = 0) {
  LiveCommand command;
  command.kind = LiveCommand::Kind::start;
  command.count = count_in;
  engine.push_command(command);
}

TEST(LiveBand, TheBlockLengthOfTheDeviceIsNotAudible) {
  const LivePiece one = with_players();
  LiveEngine first(one, 120);
  LiveBand whole(first, live_rate);
  start(first);
  const BandSound a = play(whole, 96000, {96000});
  const LivePiece two = with_players();
  LiveEngine second(two, 120);
  LiveBand cut(second, live_rate);
  start(second);
  // The commands come with the first block either way.
  const BandSound b = play(cut, 96000, {1, 63, 64, 480, 333, 1024});
  EXPECT_EQ(a.left, b.left);
  EXPECT_EQ(a.right, b.right);
  EXPECT_GT(level(a.left, 0, 96000), 0.001);
}

TEST(LiveBand, SoundBeginsWithItsBeat) {
  const LivePiece piece = with_players();
  LiveEngine engine(piece, 120);
  LiveBand band(engine, live_rate);
  start(engine, 1);
  const BandSound sound = play(band, 4 * 48000, {512});
  // Clicks at 0, 0.5, 1 and 1.5 s, then the band at 2 s: just before each it is softer than just after.
  for (const double at : {0.5, 1.0, 1.5, 2.0}) {
    const auto frame = static_cast<std::size_t>(at * live_rate) + Limiter::delay;
    EXPECT_GT(level(sound.left, frame, frame + 960), 4 * level(sound.left, frame - 960, frame)) << at;
  }
}

TEST(LiveBand, StopLetsItRingAndDieAway) {
  const LivePiece piece = with_players();
  LiveEngine engine(piece, 120);
  LiveBand band(engine, live_rate);
  start(engine);
  static_cast<void>(play(band, 48000, {256}));
  LiveCommand stop;
  stop.kind = LiveCommand::Kind::stop;
  engine.push_command(stop);
  const BandSound after = play(band, 6 * 48000, {256});
  EXPECT_LT(level(after.left, 5 * 48000, 6 * 48000), 1e-4);
}

TEST(LiveBand, APieceChangesWithoutAClick) {
  const LivePiece piece = with_players();
  const LivePiece other = with_players(7);
  LiveEngine engine(piece, 120);
  LiveBand band(engine, live_rate);
  start(engine);
  BandSound sound = play(band, 24000, {480});
  LiveCommand change;
  change.kind = LiveCommand::Kind::piece;
  change.piece = &other;
  change.at_once = true;
  engine.push_command(change);
  const BandSound after = play(band, 24000, {480});
  // A step between two samples much larger than any before would be a click.
  const auto steepest = [](const std::vector<float>& samples) {
    float most = 0;
    for (std::size_t i = 1; i < samples.size(); ++i) most = std::max(most, std::abs(samples[i] - samples[i - 1]));
    return most;
  };
  const float before = steepest(sound.left);
  sound.left.insert(sound.left.end(), after.left.begin(), after.left.begin() + 960);
  EXPECT_LT(steepest(sound.left), 2.5f * before);
  EXPECT_GT(level(after.left, 4800, 24000), 0.001);
}

TEST(LiveBand, HasTheRequestedLoudness) {
  Performance performance;
  performance.parts = {{"keys", InstrumentId::piano, 0, false}};
  performance.length = Beats(32);
  for (int beat = 0; beat < 32; ++beat) performance.events.push_back({Beats(beat), Beats(1), 60, 90, 0});
  const double soft = live_gain_db(performance, live_rate, -23);
  const double loud = live_gain_db(performance, live_rate, -16);
  EXPECT_NEAR(loud - soft, 7, 1e-9);
  performance.events.clear();
  EXPECT_EQ(live_gain_db(performance, live_rate, -16), 0);
}

}  // namespace
}  // namespace romanesca
