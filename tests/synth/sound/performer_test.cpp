#include "synth/sound/performer.h"

#include <gtest/gtest.h>

#include <random>

#include "synth/files/worker_threads.h"
#include "tests/measure/sound_meter.h"
#include "tests/synth/allocations.h"

namespace romanesca {
namespace {

/// A little piece for all instruments at a tempo that divides nothing evenly.
Performance small_piece(double bpm = 97) {
  Performance piece;
  piece.tempo = TempoMap(bpm);
  piece.length = Beats(8);
  for (const InstrumentRow& row : instruments()) piece.parts.push_back({std::string(row.name), row.id, 0, false});
  for (std::uint8_t part = 0; part < piece.parts.size(); ++part) {
    for (int beat = 0; beat < 8; ++beat) {
      const bool drums = instrument(piece.parts[part].instrument).drums;
      const auto midi = static_cast<std::uint8_t>(drums ? 36 + 2 * (beat % 2) : 46 + 2 * part + beat);
      piece.events.push_back({Beats(beat), Beats(3, 4), midi, static_cast<std::uint8_t>(60 + 7 * beat), part});
    }
  }
  return piece;
}

struct Sound {
  std::vector<float> left, right;
};

Sound render(const Performance& piece, std::size_t frames, const std::vector<std::size_t>& cuts) {
  Performer performer(piece, 48000);
  Sound sound{std::vector<float>(frames), std::vector<float>(frames)};
  std::size_t next = 0;
  for (std::size_t at = 0; at < frames;) {
    const std::size_t count = std::min(cuts[next++ % cuts.size()], frames - at);
    performer.render({sound.left.data() + at, sound.right.data() + at, count});
    at += count;
  }
  return sound;
}

TEST(Performer, BlockLengthIsNotAudible) {
  const Performance piece = small_piece();
  const Sound whole = render(piece, 200000, {200000});
  std::mt19937 random(5);
  std::vector<std::size_t> cuts;
  for (int i = 0; i < 400; ++i) cuts.push_back(1 + random() % 3000);
  const Sound cut = render(piece, 200000, cuts);
  EXPECT_EQ(whole.left, cut.left);
  EXPECT_EQ(whole.right, cut.right);
}

TEST(Performer, SamePieceSameSamples) {
  const Sound once = render(small_piece(), 100000, {512});
  const Sound again = render(small_piece(), 100000, {512});
  EXPECT_EQ(once.left, again.left);
}

TEST(Performer, WorkersChangeNothing) {
  for (const bool loop : {false, true}) {
    const Performance piece = small_piece();
    const auto of = [&](int threads) {
      WorkerThreads workers(threads);
      Performer performer(piece, {48000, loop, threads > 1 ? &workers : nullptr});
      Sound sound{std::vector<float>(300000), std::vector<float>(300000)};
      performer.render({sound.left.data(), sound.right.data(), 300000});
      return sound;
    };
    const Sound alone = of(1);
    for (const int threads : {2, 3}) {
      const Sound together = of(threads);
      EXPECT_EQ(alone.left, together.left);
      EXPECT_EQ(alone.right, together.right);
    }
  }
}

TEST(Performer, RenderingDoesNotAllocate) {
  const Performance piece = small_piece();
  Performer performer(piece, 48000);
  std::vector<float> left(1024), right(1024);
  const long before = test::allocations();
  for (int i = 0; i < 300; ++i) performer.render({left.data(), right.data(), 1024});
  EXPECT_EQ(test::allocations() - before, 0);
}

// Onsets within 1 ms of their time, at the end of a piece as at its start: nothing drifts.
TEST(Performer, OnsetsAreOnTheGrid) {
  for (const InstrumentId id :
       {InstrumentId::drum_kit, InstrumentId::piano, InstrumentId::electric_bass, InstrumentId::steel_guitar,
        InstrumentId::electric_piano, InstrumentId::vibraphone, InstrumentId::click}) {
    Performance piece;
    piece.tempo = TempoMap(97);
    piece.parts = {{"part", id, 0, false}};
    piece.length = Beats(64);
    const auto key = static_cast<std::uint8_t>(instrument(id).drums ? 76 : 60);
    for (const int beat : {0, 7, 31, 63}) piece.events.push_back({Beats(beat), Beats(1, 4), key, 100, 0});
    Performer performer(piece, 48000);
    std::vector<float> left(static_cast<std::size_t>(performer.length_frames()) + 24000), right(left.size());
    performer.render({left.data(), right.data(), left.size()});
    for (const int beat : {0, 7, 31, 63}) {
      const double expected = beat * 60.0 / 97 * 48000;
      const auto from = static_cast<std::size_t>(std::max(0.0, expected - 200));
      const std::size_t found = from + test::onset(std::span<const float>(left).subspan(from, 2600), 0.01f);
      EXPECT_NEAR(static_cast<double>(found), expected, 48) << instrument(id).name << " beat " << beat;
    }
  }
}

// Ten minutes of a click at 97: the last begins on the exact frame.
TEST(Performer, NothingDriftsInTenMinutes) {
  Performance piece;
  piece.tempo = TempoMap(97);
  piece.parts = {{"click", InstrumentId::click, 0, false}};
  piece.length = Beats(970);
  for (const int beat : {0, 969}) piece.events.push_back({Beats(beat), Beats(1, 4), 76, 100, 0});
  Performer performer(piece, 48000);
  std::vector<float> left(static_cast<std::size_t>(performer.length_frames())), right(left.size());
  performer.render({left.data(), right.data(), left.size()});
  const std::span<const float> sound(left);
  const std::size_t exact = static_cast<std::size_t>(std::llround(969 * 60.0 / 97 * 48000));
  const std::size_t first = test::onset(sound.first(4800));
  EXPECT_EQ(exact - 100 + test::onset(sound.subspan(exact - 100, 4800)), exact + first);
}

TEST(Performer, EndsInTrueSilenceWithoutOffset) {
  const Performance piece = small_piece(140);
  Performer performer(piece, 48000);
  std::vector<float> left(48000), right(48000);
  double sum = 0;
  double frames = 0;
  int seconds = 0;
  while (!performer.finished() && seconds < 30) {
    performer.render({left.data(), right.data(), left.size()});
    for (const float sample : left) sum += static_cast<double>(sample);
    frames += 48000;
    ++seconds;
  }
  ASSERT_LT(seconds, 30);
  EXPECT_LT(20 * std::log10(std::abs(sum / frames) + 1e-12), -70);
  performer.render({left.data(), right.data(), left.size()});
  EXPECT_EQ(test::peak(left), 0.0f);
  EXPECT_EQ(test::peak(right), 0.0f);
}

TEST(Performer, MutedPartsAndMissingPartsAreSilent) {
  Performance piece = small_piece();
  for (Part& part : piece.parts) part.muted = true;
  piece.events.push_back({Beats(0), Beats(1), 60, 100, 99});
  const Sound sound = render(piece, 48000, {48000});
  EXPECT_EQ(test::peak(sound.left), 0.0f);
}

TEST(TempoMap, ChangesAndExactFrames) {
  TempoMap tempo(120);
  tempo.change(Beats(4), 60);
  EXPECT_DOUBLE_EQ(tempo.seconds_at(Beats(4)), 2.0);
  EXPECT_DOUBLE_EQ(tempo.seconds_at(Beats(6)), 4.0);
  EXPECT_EQ(tempo.frame_at(Beats(5), 48000), 3 * 48000);
  // Ten minutes of triplets at 97 a minute: the last frame is the rounded exact one.
  EXPECT_EQ(TempoMap(97).frame_at(Beats(2909, 3), 48000), std::llround(2909.0 / 3 * 60 / 97 * 48000));
}

}  // namespace
}  // namespace romanesca
