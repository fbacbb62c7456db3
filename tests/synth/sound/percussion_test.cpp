#include "synth/sound/instruments/percussion.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <complex>

#include "tests/measure/solo.h"
#include "tests/measure/sound_meter.h"

namespace romanesca {
namespace {

using test::level_db;
using test::play;
using test::player_of;

constexpr InstrumentId kits[] = {InstrumentId::drum_kit, InstrumentId::brush_kit};

std::vector<float> stroke(InstrumentId id, int key, std::size_t frames = 9600) {
  const auto kit = player_of(id, 48000);
  kit->note_on(key, 100, 1, 0);
  return play(*kit, frames);
}

TEST(Drums, EveryGeneralMidiKeySounds) {
  for (const InstrumentId id : kits) {
    for (int key = 35; key <= 81; ++key) {
      const auto sound = stroke(id, key);
      EXPECT_GT(level_db(sound), -60) << key;
      if (id == InstrumentId::brush_kit && key == 40) continue;  // a swirl swells
      EXPECT_LT(test::onset(sound), 48U) << key;                 // within a millisecond
    }
  }
}

TEST(Drums, OnlyTheRequestedKeysAreMade) {
  const auto kit = make_player(InstrumentId::drum_kit, 48000, KeySet().set(36));
  kit->note_on(38, 100, 1, 0);
  EXPECT_TRUE(kit->silent());
  kit->note_on(36, 100, 1, 0);
  EXPECT_FALSE(kit->silent());
}

TEST(Drums, AClosedHatStopsAnOpenOne) {
  for (const InstrumentId id : kits) {
    const auto kit = player_of(id, 48000);
    kit->note_on(46, 100, 1, 0);
    play(*kit, 2400);
    const auto ringing = play(*kit, 2400);
    kit->note_on(44, 1, 1, 0);
    play(*kit, 960);
    const auto choked = play(*kit, 2400);
    EXPECT_GT(level_db(ringing), level_db(choked) + 20);
  }
}

/// Seconds until the sound is 40 dB below its loudest hundredth of a second.
double length_s(const std::vector<float>& sound) {
  double loudest = -200;
  std::size_t last = 0;
  for (std::size_t at = 0; at + 480 <= sound.size(); at += 480) {
    const double level = level_db(std::span<const float>(sound).subspan(at, 480));
    loudest = std::max(loudest, level);
    if (level > loudest - 40) last = at;
  }
  return static_cast<double>(last) / 48000;
}

// Decay times of the drums of a kit relative to each other (common practice, no source).
TEST(Drums, RingAsLongAsTheyShould) {
  const auto of = [](int key) { return length_s(stroke(InstrumentId::drum_kit, key, 48000 * 3)); };
  EXPECT_LT(of(42), 0.12);
  EXPECT_GT(of(46), 0.25);
  EXPECT_GT(of(49), of(46) + 0.4);
  EXPECT_GT(of(41), of(50));
  EXPECT_GT(of(51), 0.4);
  EXPECT_LT(of(37), 0.1);
  EXPECT_LT(of(62), of(63));
}

// Brightness in order, by the energy of the steps between samples: heads, snare, hat; a timbale over a tom.
TEST(Drums, AreAsBrightAsTheyShould) {
  const auto of = [](int key) {
    const auto sound = stroke(InstrumentId::drum_kit, key);
    double low = 0;
    double change = 0;
    for (std::size_t i = 1; i < sound.size(); ++i) {
      low += static_cast<double>(sound[i] * sound[i]);
      const float step = sound[i] - sound[i - 1];
      change += static_cast<double>(step * step);
    }
    return change / low;
  };
  EXPECT_LT(of(36), 0.1 * of(38));
  EXPECT_LT(of(41), 0.1 * of(38));
  EXPECT_LT(of(38), of(42));
  EXPECT_GT(of(65), 2 * of(50));
  EXPECT_GT(of(66), 2 * of(45));
}

// An agogo is two bells, here a fourth apart: a samba that plays both is a tune of two notes.
TEST(Drums, TheAgogoHasTwoBells) {
  const auto pitch_hz = [](int key) {
    const auto sound = stroke(InstrumentId::drum_kit, key, 24000);
    double loudest = 0;
    double found = 0;
    for (double hz = 700; hz < 2000; hz += 2) {
      const double here = std::abs(test::component(std::span<const float>(sound).subspan(2400, 9600), hz, 48000));
      if (here <= loudest) continue;
      loudest = here;
      found = hz;
    }
    return found;
  };
  EXPECT_NEAR(pitch_hz(67) / pitch_hz(68), 4.0 / 3, 0.02);
}

/// How often a sound becomes louder by 6 dB within a few milliseconds.
int rises(const std::vector<float>& sound) {
  constexpr std::size_t window = 96;  // 2 ms
  int count = 0;
  double lowest = -200;
  for (std::size_t at = 0; at + window <= sound.size(); at += window) {
    const double level = level_db(std::span<const float>(sound).subspan(at, window));
    if (level > lowest + 6 && level > -60) {
      ++count;
      lowest = level;
    }
    lowest = std::min(lowest, level);
  }
  return count;
}

// A guiro is scraped: many ridges, one after another, where claves are struck once.
TEST(Drums, AGuiroIsARowOfStrokes) {
  EXPECT_GE(rises(stroke(InstrumentId::drum_kit, 73, 4800)), 7);
  EXPECT_GE(rises(stroke(InstrumentId::drum_kit, 74, 19200)), 20);
  EXPECT_EQ(rises(stroke(InstrumentId::drum_kit, 75, 4800)), 1);
}

}  // namespace
}  // namespace romanesca
