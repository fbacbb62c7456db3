#include "synth/sound/loudness.h"

#include <ebur128.h>
#include <gtest/gtest.h>

#include <cmath>
#include <memory>

#include "synth/sound/performer.h"

namespace romanesca {
namespace {

struct Samples {
  std::vector<float> left, right;
  [[nodiscard]] StereoBlock block() { return {left.data(), right.data(), left.size()}; }
};

double own_lufs(Samples& sound, double rate) {
  Loudness loudness(rate);
  const StereoBlock all = sound.block();
  for (std::size_t at = 0; at < all.frames; at += 777) {
    const StereoBlock rest = all.from(at);
    loudness.add({rest.left, rest.right, std::min<std::size_t>(rest.frames, 777)});
  }
  return loudness.integrated_lufs();
}

double library_lufs(const Samples& sound, double rate) {
  const std::unique_ptr<ebur128_state, void (*)(ebur128_state*)> meter(
      ebur128_init(2, static_cast<unsigned long>(rate), EBUR128_MODE_I),
      [](ebur128_state* state) { ebur128_destroy(&state); });
  std::vector<float> both(2 * sound.left.size());
  for (std::size_t i = 0; i < sound.left.size(); ++i) {
    both[2 * i] = sound.left[i];
    both[2 * i + 1] = sound.right[i];
  }
  ebur128_add_frames_float(meter.get(), both.data(), sound.left.size());
  double lufs = 0;
  ebur128_loudness_global(meter.get(), &lufs);
  return lufs;
}

Samples tone(double hz, double level_db, double seconds, double rate) {
  Samples sound;
  const double amplitude = std::pow(10.0, level_db / 20);
  for (std::size_t i = 0; i < static_cast<std::size_t>(seconds * rate); ++i)
    sound.left.push_back(static_cast<float>(amplitude * std::sin(2 * M_PI * hz * static_cast<double>(i) / rate)));
  sound.right = sound.left;
  return sound;
}

// EBU Tech 3341, case 1: a stereo sine of 1 kHz at -23.0 dBFS measures -23.0 LUFS within 0.1.
TEST(Loudness, ReferenceSine) {
  for (const double rate : {44100.0, 48000.0, 96000.0}) {
    Samples sound = tone(1000, -23, 20, rate);
    EXPECT_NEAR(own_lufs(sound, rate), -23.0, 0.1) << rate;
  }
}

// EBU Tech 3341, case 3: 10 s at -36, 60 s at -23, 10 s at -36 dBFS measure -23.0: the gate leaves the soft parts out.
TEST(Loudness, TheGateLeavesSoftPartsOut) {
  Samples sound;
  for (const auto& [level, seconds] : {std::pair{-36.0, 10.0}, {-23.0, 60.0}, {-36.0, 10.0}}) {
    const Samples part = tone(1000, level, seconds, 48000);
    sound.left.insert(sound.left.end(), part.left.begin(), part.left.end());
  }
  sound.right = sound.left;
  EXPECT_NEAR(own_lufs(sound, 48000), -23.0, 0.1);
}

TEST(Loudness, AgreesWithTheLibrary) {
  for (const double rate : {44100.0, 48000.0, 96000.0}) {
    for (const double hz : {40.0, 100.0, 400.0, 2000.0, 9000.0}) {
      Samples sound = tone(hz, -20, 5, rate);
      EXPECT_NEAR(own_lufs(sound, rate), library_lufs(sound, rate), 0.02) << hz << " at " << rate;
    }
    Performance piece;
    piece.length = Beats(24);
    piece.parts = {{"drums", InstrumentId::drum_kit, 0, false}, {"keys", InstrumentId::piano, 0, false}};
    for (int beat = 0; beat < 16; ++beat) {
      piece.events.push_back({Beats(beat), Beats(1), static_cast<std::uint8_t>(36 + beat % 12), 100, 0});
      piece.events.push_back({Beats(beat), Beats(1), static_cast<std::uint8_t>(50 + beat), 70, 1});
    }
    Performer performer(piece, rate);
    Samples sound;
    sound.left.resize(static_cast<std::size_t>(performer.length_frames()));
    sound.right.resize(sound.left.size());
    performer.render(sound.block());
    EXPECT_NEAR(own_lufs(sound, rate), library_lufs(sound, rate), 0.03) << rate;
  }
}

TEST(Loudness, SilenceHasNone) {
  Samples silence{std::vector<float>(48000), std::vector<float>(48000)};
  EXPECT_FALSE(std::isfinite(own_lufs(silence, 48000)));
}

}  // namespace
}  // namespace romanesca
