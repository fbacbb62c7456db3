#include "synth/sound/track_renderer.h"

#include <gtest/gtest.h>

#include <cmath>

#include "synth/files/loudness_meter.h"
#include "synth/sound/limiter.h"
#include "tests/measure/sound_meter.h"

namespace romanesca {
namespace {

class Memory final : public FrameSink {
 public:
  void write(const StereoBlock& block) override {
    left.insert(left.end(), block.left, block.left + block.frames);
    right.insert(right.end(), block.right, block.right + block.frames);
  }
  std::vector<float> left, right;
};

class Patience final : public Progress {
 public:
  explicit Patience(double until = 2) : until_(until) {}
  bool at(double fraction) override {
    last = fraction;
    return fraction < until_;
  }
  double last = 0;

 private:
  double until_;
};

Performance band(double bpm, int bars) {
  Performance piece;
  piece.tempo = TempoMap(bpm);
  piece.length = Beats(4) * bars;
  piece.parts = {{"drums", InstrumentId::drum_kit, 0, false},
                 {"bass", InstrumentId::bass, 0, false},
                 {"keys", InstrumentId::electric_piano, 0, false},
                 {"pad", InstrumentId::pad, 0, false}};
  for (int bar = 0; bar < bars; ++bar) {
    const Beats start = Beats(4) * bar;
    for (int beat = 0; beat < 4; ++beat) {
      piece.events.push_back(
          {start + Beats(beat), Beats(1, 4), static_cast<std::uint8_t>(beat % 2 == 0 ? 36 : 38), 100, 0});
      piece.events.push_back({start + Beats(beat), Beats(1, 4), 42, 70, 0});
    }
    const auto root = static_cast<std::uint8_t>(36 + 5 * (bar % 2));
    piece.events.push_back({start, Beats(4), root, 90, 1});
    for (const int tone : {24, 28, 31}) {
      piece.events.push_back({start, Beats(2), static_cast<std::uint8_t>(root + tone), 80, 2});
      piece.events.push_back({start, Beats(4), static_cast<std::uint8_t>(root + tone), 80, 3});
    }
  }
  return piece;
}

TrackResult render(const Performance& piece, const TrackSettings& settings, Memory& memory) {
  EburMeter meter(settings.sample_rate_hz);
  Patience patience;
  return render_track(piece, settings, meter, memory, patience);
}

TEST(Track, LoopIsExactToTheSample) {
  for (const double bpm : {60.0, 97.0, 133.7}) {
    for (const int bars : {1, 3}) {
      Memory memory;
      const TrackResult result = render(band(bpm, bars), {}, memory);
      EXPECT_EQ(result.frames, std::llround(bars * 4 * 60 / bpm * 48000)) << bpm;
      EXPECT_EQ(static_cast<std::int64_t>(memory.left.size()), result.frames);
    }
  }
}

/// A loop played twice by a rendering that knows nothing of loops: its second time round is what the loop must sound
/// like.
TEST(Track, LoopSoundsLikeTheSecondTimeRound) {
  const Performance once = band(97, 2);
  Performance twice = once;
  for (NoteEvent event : once.events) {
    event.start += once.length;
    twice.events.push_back(event);
  }
  twice.length = once.length * 2;
  // Quiet enough that the limiter has nothing to do, so only the folding is compared.
  TrackSettings quiet;
  quiet.loudness_lufs = -30;
  Memory loop, straight;
  (void)render(once, quiet, loop);
  quiet.loop = false;
  (void)render(twice, quiet, straight);
  const std::size_t frames = loop.left.size();
  const std::span<const float> second = std::span<const float>(straight.left).subspan(frames, frames);
  EXPECT_NEAR(test::level_db(std::span<const float>(loop.left).first(2400)), test::level_db(second.first(2400)), 0.5);
  // Attack noise has another seed the second time, so compare the slow parts: the levels of every tenth of a second.
  const double offset = test::level_db(loop.left) - test::level_db(second);
  for (std::size_t at = 0; at + 4800 < frames; at += 4800) {
    EXPECT_NEAR(test::level_db(std::span<const float>(loop.left).subspan(at, 4800)) - offset,
                test::level_db(second.subspan(at, 4800)), 0.1);
  }
}

TEST(Track, NoStepAcrossTheSeam) {
  Memory memory;
  (void)render(band(97, 2), {}, memory);
  const std::vector<float>& sound = memory.left;
  float largest = 0;
  for (std::size_t i = 1; i < sound.size(); ++i) largest = std::max(largest, std::abs(sound[i] - sound[i - 1]));
  EXPECT_LE(std::abs(sound.front() - sound.back()), largest);
}

TEST(Track, LoudnessAndPeaks) {
  for (const double target : {-16.0, -20.0}) {
    for (const bool loop : {true, false}) {
      TrackSettings settings;
      settings.loudness_lufs = target;
      settings.loop = loop;
      Memory memory;
      const TrackResult result = render(band(97, 4), settings, memory);
      EXPECT_NEAR(result.loudness_lufs, target, 0.5);
      EXPECT_LE(result.true_peak_dbtp, settings.ceiling_dbtp);
    }
  }
}

TEST(Track, RingsOutToSilence) {
  TrackSettings settings;
  settings.loop = false;
  Memory memory;
  const TrackResult result = render(band(97, 1), settings, memory);
  EXPECT_GT(result.frames, std::llround(4 * 60.0 / 97 * 48000));
  EXPECT_LT(std::abs(memory.left.back()), 1e-4f);
}

TEST(Track, SilentPieceStaysSilent) {
  Performance piece;
  piece.length = Beats(4);
  Memory memory;
  const TrackResult result = render(piece, {}, memory);
  EXPECT_EQ(test::peak(memory.left), 0.0f);
  EXPECT_FALSE(std::isfinite(result.loudness_lufs));
}

TEST(Track, StopsWhenAsked) {
  EburMeter meter(48000);
  Memory memory;
  Patience impatient(0.3);
  const TrackResult result = render_track(band(60, 8), {}, meter, memory, impatient);
  EXPECT_TRUE(result.stopped);
  EXPECT_LT(impatient.last, 0.5);
}

// EBU Tech 3341: a stereo sine of 1 kHz at -23.0 dBFS measures -23.0 LUFS within 0.1.
TEST(Loudness, ReferenceSine) {
  EburMeter meter(48000);
  std::vector<float> tone(48000 * 5);
  const double amplitude = std::pow(10.0, -23.0 / 20);
  for (std::size_t i = 0; i < tone.size(); ++i) {
    tone[i] = static_cast<float>(amplitude * std::sin(2 * M_PI * 1000 * static_cast<double>(i) / 48000));
  }
  std::vector<float> same = tone;
  meter.add({tone.data(), same.data(), tone.size()});
  EXPECT_NEAR(meter.integrated_lufs(), -23.0, 0.1);
  EXPECT_NEAR(meter.true_peak_dbtp(), -23.0, 0.1);
}

TEST(Limiter, NoSampleAndNoTruePeakAboveTheCeiling) {
  const float ceiling = 0.7f;
  Limiter limiter(48000, ceiling);
  EburMeter meter(48000);
  std::vector<float> left(48000), right(48000);
  for (std::size_t i = 0; i < left.size(); ++i) {
    // A hard one: a quarter of the rate with its peaks between the samples, in bursts.
    const double burst = (i / 4800) % 2 == 0 ? 1.8 : 0.3;
    left[i] = static_cast<float>(burst * std::sin(2 * M_PI * 0.25 * static_cast<double>(i) + M_PI / 4));
    right[i] = static_cast<float>(burst * std::sin(2 * M_PI * 0.013 * static_cast<double>(i)));
  }
  limiter.process({left.data(), right.data(), left.size()});
  meter.add({left.data(), right.data(), left.size()});
  EXPECT_LE(test::peak(left), ceiling * 1.0001f);
  EXPECT_LE(meter.true_peak_dbtp(), 20 * std::log10(ceiling) + 0.3);
}

TEST(Limiter, LeavesQuietSoundAlone) {
  Limiter limiter(48000, 0.9f);
  std::vector<float> left(4800), right(4800);
  for (std::size_t i = 0; i < left.size(); ++i) left[i] = right[i] = 0.3f * std::sin(0.05f * static_cast<float>(i));
  const std::vector<float> before = left;
  limiter.process({left.data(), right.data(), left.size()});
  EXPECT_EQ(limiter.lowest_gain(), 1.0f);
  for (std::size_t i = 0; i + limiter.delay() < left.size(); ++i) EXPECT_EQ(left[i + limiter.delay()], before[i]);
}

}  // namespace
}  // namespace romanesca
