#include "synth/sound/instrument.h"

#include <gtest/gtest.h>

#include "synth/sound/pad.h"
#include "synth/sound/partial_voice.h"
#include "synth/sound/pitched_player.h"
#include "synth/sound/sample_block.h"
#include "tests/measure/sound_meter.h"

namespace romanesca {
namespace {

using test::cents_off;
using test::component;
using test::level_db;

std::vector<float> play(Player& player, std::size_t frames) {
  std::vector<float> out(frames, 0.0f);
  for (std::size_t at = 0; at < frames; at += slice_frames) {
    player.add_to(out.data() + at, std::min(slice_frames, frames - at));
  }
  return out;
}

double frequency_of(int midi) { return 440.0 * std::exp2((midi - 69) / 12.0); }  // ISO 16:1975

// Every semitone of every instrument's range at three sample rates, within one cent of equal temperament (A4 = 440 Hz,
// ISO 16:1975). The pad's detuned pairs are switched off: they beat about the true pitch.
TEST(Tuning, WithinOneCent) {
  for (const InstrumentRow& row : instruments()) {
    if (row.recipe == nullptr) continue;
    const auto recipe =
        row.id == InstrumentId::pad ? +[](const Touch& touch) noexcept { return pad(touch, 0); } : row.recipe;
    for (const double rate : {44100.0, 48000.0, 96000.0}) {
      for (int midi = row.lowest; midi <= row.highest; ++midi) {
        PitchedPlayer player(recipe, rate);
        player.note_on(midi, 80, 1);
        // Long enough for the lowest notes, short enough for the quick decay of the highest.
        const double seconds = midi < 48 ? 0.9 : 0.35;
        auto sound = play(player, static_cast<std::size_t>(seconds * rate));
        const std::span<const float> steady =
            std::span<const float>(sound).subspan(static_cast<std::size_t>(0.08 * rate));
        EXPECT_NEAR(cents_off(steady, frequency_of(midi), rate), 0, 1.0) << row.name << " " << midi << " at " << rate;
      }
    }
  }
}

TEST(Tuning, TheMeterItselfCanTell) {
  std::vector<float> tone(24000);
  for (std::size_t i = 0; i < tone.size(); ++i) {
    tone[i] = static_cast<float>(std::sin(2 * M_PI * 440.0 * std::exp2(3.0 / 1200) * static_cast<double>(i) / 48000));
  }
  EXPECT_NEAR(cents_off(tone, 440.0, 48000), 3.0, 0.02);
}

// What is left when the partials are taken out of a steady organ tone: nothing folds back.
TEST(Aliasing, BelowMinus60DbUpToC7) {
  constexpr double rate = 48000;
  constexpr int c7 = 96;
  PitchedPlayer player(instrument(InstrumentId::organ).recipe, rate);
  player.note_on(c7, 100, 1);
  const auto sound = play(player, 48000);
  const std::span<const float> steady = std::span<const float>(sound).subspan(9600, 32768);
  const double fundamental = std::abs(component(steady, frequency_of(c7), rate));
  double worst = 0;
  for (double hz = 60; hz < 23900; hz += 37) {
    const double ratio = hz / (frequency_of(c7) / 2);
    if (std::abs(ratio - std::round(ratio)) * frequency_of(c7) / 2 < 12) continue;
    worst = std::max(worst, std::abs(component(steady, hz, rate)));
  }
  EXPECT_LT(20 * std::log10(worst / fundamental), -60);
}

TEST(Velocity, ChangesTheTimbre) {
  for (const InstrumentId id :
       {InstrumentId::piano, InstrumentId::electric_piano, InstrumentId::guitar, InstrumentId::bass}) {
    const auto brightness = [&](int velocity) {
      PitchedPlayer player(instrument(id).recipe, 48000);
      player.note_on(55, velocity, 1);
      const auto sound = play(player, 9600);
      return std::abs(component(sound, 3 * frequency_of(55), 48000)) /
             std::abs(component(sound, frequency_of(55), 48000));
    };
    EXPECT_GT(brightness(120), 1.3 * brightness(30)) << instrument(id).name;
  }
}

TEST(Velocity, EachStepIsSmall) {
  for (const InstrumentRow& row : instruments()) {
    double last = -200;
    for (int velocity = 20; velocity <= 127; ++velocity) {
      const auto player = make_player(row.id, 48000);
      player->note_on(row.recipe == nullptr ? 38 : 60, velocity, 1);
      const double level = level_db(play(*player, 4800));
      if (velocity > 20) {
        EXPECT_GT(level, last) << row.name << " " << velocity;
        EXPECT_LT(level - last, 1.0) << row.name << " " << velocity;
      }
      last = level;
    }
  }
}

TEST(Players, FallSilentAndStaySilent) {
  for (const InstrumentRow& row : instruments()) {
    const auto player = make_player(row.id, 48000);
    EXPECT_TRUE(player->silent());
    player->note_on(60, 100, 7);
    EXPECT_FALSE(player->silent());
    play(*player, 9600);
    player->note_off(60);
    play(*player, 48000 * 3);
    EXPECT_TRUE(player->silent()) << row.name;
    EXPECT_EQ(test::peak(play(*player, 256)), 0.0f) << row.name;
  }
}

TEST(Players, AHundredNotesAtOnceDoNoHarm) {
  const auto player = make_player(InstrumentId::piano, 48000);
  for (int midi = 21; midi <= 108; ++midi) player->note_on(midi, 90, 3);
  for (const float sample : play(*player, 4800)) EXPECT_TRUE(std::isfinite(sample));
}

TEST(Drums, EveryGeneralMidiKeySounds) {
  for (int key = 35; key <= 81; ++key) {
    const auto kit = make_player(InstrumentId::drum_kit, 48000);
    kit->note_on(key, 100, 1);
    const auto sound = play(*kit, 9600);
    EXPECT_GT(level_db(sound), -60) << key;
    EXPECT_LT(test::onset(sound), 48U) << key;  // within a millisecond
  }
}

TEST(Drums, AClosedHatStopsAnOpenOne) {
  const auto kit = make_player(InstrumentId::drum_kit, 48000);
  kit->note_on(46, 100, 1);
  play(*kit, 2400);
  const auto ringing = play(*kit, 2400);
  kit->note_on(44, 1, 1);
  play(*kit, 960);
  const auto choked = play(*kit, 2400);
  EXPECT_GT(level_db(ringing), level_db(choked) + 20);
}

TEST(Instruments, NearestToEveryProgram) {
  for (int program = 0; program < 128; ++program) {
    EXPECT_NE(instrument_for_program(program, false), InstrumentId::drum_kit);
    EXPECT_EQ(instrument_for_program(program, true), InstrumentId::drum_kit);
  }
  for (const InstrumentRow& row : instruments()) {
    EXPECT_EQ(instrument_named(row.name)->id, row.id);
    EXPECT_EQ(instrument(row.id).name, row.name);
    if (row.recipe == nullptr) continue;
    EXPECT_EQ(instrument_for_program(row.program, false), row.id) << row.name;
  }
  EXPECT_EQ(instrument_named("kazoo"), nullptr);
}

}  // namespace
}  // namespace romanesca
