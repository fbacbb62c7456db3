#include "synth/sound/instruments/percussion.h"

#include <gtest/gtest.h>

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

// Brightness in order, by the energy of the steps between samples: heads, snare, hat.
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
}

}  // namespace
}  // namespace romanesca
