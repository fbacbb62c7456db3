#include "synth/sound/track_renderer.h"

#include <gtest/gtest.h>

#include <cmath>

#include "synth/files/true_peak_meter.h"
#include "synth/files/worker_threads.h"
#include "synth/sound/performer.h"
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

/// @param keys, pad what plays the chords; without a chorus, every round of a piece sounds the same
Performance band(double bpm, int bars, InstrumentId keys = InstrumentId::electric_piano,
                 InstrumentId pad = InstrumentId::pad) {
  Performance piece;
  piece.tempo = TempoMap(bpm);
  piece.length = Beats(4) * bars;
  piece.parts = {{"drums", InstrumentId::drum_kit, 0, false},
                 {"bass", InstrumentId::electric_bass, 0, false},
                 {"keys", keys, 0, false},
                 {"pad", pad, 0, false}};
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
  WorkerThreads workers(settings.threads);
  Performer performer(piece, {settings.sample_rate_hz, settings.loop, settings.threads > 1 ? &workers : nullptr});
  MemoryStore store;
  EburPeakMeter meter(settings.sample_rate_hz);
  Patience patience;
  return render_track(performer, settings, store, meter, memory, patience);
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

/// The piece repeated, rendered without a loop: a late round is what a loop must sound like.
Performance repeated(const Performance& once, int times) {
  Performance again = once;
  for (int round = 1; round < times; ++round) {
    for (NoteEvent event : once.events) {
      event.start += once.length * round;
      again.events.push_back(event);
    }
  }
  again.length = once.length * times;
  return again;
}

TEST(Track, LoopSoundsLikeALaterTimeRound) {
  const Performance once = band(97, 1, InstrumentId::piano, InstrumentId::steel_guitar);
  Memory loop, straight;
  // A gain of its own, since a measured one depends on the length: in a short file the first attack is in few of the
  // blocks.
  TrackSettings fixed;
  fixed.fixed_gain_db = -12;
  (void)render(once, fixed, loop);
  fixed.loop = false;
  (void)render(repeated(once, 6), fixed, straight);
  const std::size_t frames = loop.left.size();
  const std::span<const float> last = std::span<const float>(straight.left).subspan(5 * frames, frames);
  // Attack noise and the levels of partials have another seed each time, which makes up to 0.4 dB; the levels of every
  // tenth of a second agree.
  for (std::size_t at = 0; at + 4800 < frames; at += 4800) {
    EXPECT_NEAR(test::level_db(std::span<const float>(loop.left).subspan(at, 4800)),
                test::level_db(last.subspan(at, 4800)), 0.6)
        << at;
  }
}

// The start of a loop contains the tail of its end.
TEST(Track, TheStartOfALoopHasItsTailInIt) {
  for (const int bars : {1, 4}) {
    const Performance once = band(97, bars, InstrumentId::piano, InstrumentId::steel_guitar);
    TrackSettings fixed;
    fixed.fixed_gain_db = -12;
    Memory loop, straight;
    (void)render(once, fixed, loop);
    TrackSettings ringing = fixed;
    ringing.loop = false;
    (void)render(repeated(once, bars == 1 ? 6 : 3), ringing, straight);
    const std::size_t frames = loop.left.size();
    const std::size_t last = static_cast<std::size_t>(bars == 1 ? 5 : 2) * frames;
    EXPECT_NEAR(test::level_db(std::span<const float>(loop.left).first(2400)),
                test::level_db(std::span<const float>(straight.left).subspan(last, 2400)), 0.1);
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
  EburPeakMeter meter(48000);
  Memory memory;
  MemoryStore store;
  Patience impatient(0.3);
  Performer performer(band(60, 8), {48000, true, nullptr});
  const TrackResult result = render_track(performer, {}, store, meter, memory, impatient);
  EXPECT_TRUE(result.stopped);
  EXPECT_LT(impatient.last, 0.5);
}

TEST(Track, ThreadsChangeNothing) {
  TrackSettings settings;
  Memory alone, together;
  (void)render(band(97, 2), settings, alone);
  settings.threads = 2;
  (void)render(band(97, 2), settings, together);
  EXPECT_EQ(alone.left, together.left);
  EXPECT_EQ(alone.right, together.right);
}

// Stems at the gain of the mix add up to it, as it was before compressor and limiter.
TEST(Track, StemsAddUp) {
  const Performance piece = band(97, 1);
  TrackSettings fixed;
  fixed.fixed_gain_db = -14;
  Memory mix;
  const TrackResult result = render(piece, fixed, mix);
  EXPECT_EQ(result.gain_db, -14);
  std::vector<float> sum(mix.left.size());
  for (std::size_t part = 0; part < piece.parts.size(); ++part) {
    Performance solo = piece;
    for (std::size_t i = 0; i < solo.parts.size(); ++i) solo.parts[i].muted = i != part;
    Memory stem;
    (void)render(solo, fixed, stem);
    ASSERT_EQ(stem.left.size(), sum.size());
    for (std::size_t i = 0; i < sum.size(); ++i) sum[i] += stem.left[i];
  }
  for (std::size_t i = 0; i < sum.size(); ++i) ASSERT_NEAR(sum[i], mix.left[i], 2e-6) << i;
}

}  // namespace
}  // namespace romanesca
