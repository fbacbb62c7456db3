#include "synth/sound/instrument.h"

#include <gtest/gtest.h>

#include <numeric>

#include "synth/sound/instruments/instruments.h"
#include "tests/measure/solo.h"
#include "tests/measure/sound_meter.h"
#include "tests/measure/spectrum.h"
#include "tests/sweep.h"

namespace romanesca {
namespace {

using test::cents_off;
using test::component;
using test::frequency_of;
using test::level_db;
using test::play;
using test::player_of;

/// An instrument without vibrato; chorus and rotary are not part of the player.
std::unique_ptr<Player> steady_player(InstrumentId id, double rate) {
  return id == InstrumentId::lead ? steady_lead(rate, KeySet()) : player_of(id, rate);
}

// Every semitone of every instrument's range at three sample rates, within one cent of equal temperament (A4 = 440 Hz,
// ISO 16:1975).
TEST(Tuning, WithinOneCent) {
  std::size_t turn = 0;
  for (const InstrumentRow& row : instruments()) {
    if (row.drums) continue;
    std::vector<int> notes(static_cast<std::size_t>(row.highest - row.lowest + 1));
    std::iota(notes.begin(), notes.end(), row.lowest);
    for (const double rate : {44100.0, 48000.0, 96000.0}) {
      for (const int midi : test::tried(notes, turn++)) {
        const auto player = steady_player(row.id, rate);
        player->note_on(midi, 80, 1, 0);
        // Long enough for the lowest notes, short enough for the quick decay of the highest.
        const double seconds = midi < 48 ? 0.9 : 0.35;
        const auto sound = play(*player, static_cast<std::size_t>(seconds * rate));
        const std::span<const float> steady =
            std::span<const float>(sound).subspan(static_cast<std::size_t>(0.08 * rate));
        EXPECT_NEAR(cents_off(steady, frequency_of(midi), rate), 0, 1.0) << row.name << " " << midi << " at " << rate;
      }
    }
  }
}

TEST(Tuning, TheMeterItselfIsSensitive) {
  std::vector<float> tone(24000);
  for (std::size_t i = 0; i < tone.size(); ++i) {
    tone[i] = static_cast<float>(std::sin(2 * M_PI * 440.0 * std::exp2(3.0 / 1200) * static_cast<double>(i) / 48000));
  }
  EXPECT_NEAR(cents_off(tone, 440.0, 48000), 3.0, 0.02);
}

TEST(Tuning, TheVibratoIsCentred) {
  const auto player = player_of(InstrumentId::lead, 48000);
  player->note_on(69, 90, 1, 0);
  // A whole number of cycles of 5.2 Hz once it has grown: 2.5 s are thirteen.
  const auto sound = play(*player, 48000 * 4);
  EXPECT_NEAR(cents_off(std::span<const float>(sound).subspan(48000, 120000), 440, 48000), 0, 1);
}

// The residue between the harmonics of a tonal oscillator: no aliasing. Half harmonics belong to the organ's lowest
// drawbar, an octave below the note.
TEST(Aliasing, BelowMinus60DbUpToC7) {
  constexpr double rate = 48000;
  for (const InstrumentId id : {InstrumentId::organ, InstrumentId::strings, InstrumentId::pad, InstrumentId::lead,
                                InstrumentId::electric_piano}) {
    for (int midi = 48; midi <= 96; midi += 4) {
      const auto player = steady_player(id, rate);
      player->note_on(midi, 110, 1, 0);
      const auto sound = play(*player, 48000);
      const double spacing = frequency_of(midi) / (id == InstrumentId::organ ? 2 : 1);
      const double stranger =
          test::strongest_stranger_db(std::span<const float>(sound).subspan(15000, 32768), spacing, rate);
      EXPECT_LT(stranger, -60) << instrument(id).name << " " << midi;
    }
  }
}

TEST(Aliasing, TheMeterSeesANaiveSaw) {
  std::vector<float> saw(32768);
  double phase = 0;
  for (float& sample : saw) {
    sample = static_cast<float>(2 * phase - 1);
    phase += frequency_of(96) / 48000;
    phase -= std::floor(phase);
  }
  EXPECT_GT(test::strongest_stranger_db(saw, frequency_of(96), 48000), -40);
}

TEST(Velocity, ChangesTheTimbre) {
  for (const InstrumentRow& row : instruments()) {
    if (row.drums || row.id == InstrumentId::bell || row.id == InstrumentId::vibraphone) continue;
    const int midi = std::clamp(55, row.lowest, row.highest);
    const auto brightness = [&](int velocity) {
      const auto player = steady_player(row.id, 48000);
      player->note_on(midi, velocity, 1, 0);
      const auto sound = play(*player, 9600);
      return std::abs(component(sound, 3 * frequency_of(midi), 48000)) /
             std::abs(component(sound, frequency_of(midi), 48000));
    };
    EXPECT_GT(brightness(120), 1.3 * brightness(30)) << row.name;
  }
}

// One step of velocity changes the waveform, and not by much: less than a fifth, the level by less than a decibel.
TEST(Velocity, EachStepIsSmall) {
  for (const InstrumentRow& row : instruments()) {
    std::vector<float> last;
    for (int velocity = 20; velocity <= 127; ++velocity) {
      const auto player = row.drums ? make_player(row.id, 48000, KeySet().set(76)) : steady_player(row.id, 48000);
      player->note_on(row.drums ? 76 : 60, velocity, 1, 0);
      std::vector<float> sound = play(*player, 4800);
      if (velocity > 20) {
        std::vector<float> change = sound;
        for (std::size_t i = 0; i < change.size(); ++i) change[i] -= last[i];
        EXPECT_GT(level_db(sound), level_db(last)) << row.name << " " << velocity;
        EXPECT_LT(level_db(sound) - level_db(last), 1.0) << row.name << " " << velocity;
        EXPECT_LT(level_db(change) - level_db(sound), -14) << row.name << " " << velocity;
      }
      last = std::move(sound);
    }
  }
}

TEST(Players, FallSilentAndStaySilent) {
  for (const InstrumentRow& row : instruments()) {
    const auto player = player_of(row.id, 48000);
    EXPECT_TRUE(player->silent());
    player->note_on(76, 100, 7, 0);
    EXPECT_FALSE(player->silent());
    play(*player, 9600);
    player->note_off(76);
    play(*player, 48000 * 3);
    EXPECT_TRUE(player->silent()) << row.name;
    EXPECT_EQ(test::peak(play(*player, 256)), 0.0f) << row.name;
  }
}

// A note within a block begins on its frame and sounds as at any other place.
TEST(Players, ANoteDoesNotDependOnItsOffsetInTheBlock) {
  for (const InstrumentRow& row : instruments()) {
    std::vector<float> sounds[2];
    for (const std::size_t offset : {0U, 37U}) {
      const auto player = player_of(row.id, 48000);
      player->note_on(76, 90, 11, offset);
      const auto sound = play(*player, 6400 + block_frames);
      sounds[offset != 0 ? 1 : 0].assign(sound.begin() + static_cast<std::ptrdiff_t>(offset),
                                         sound.begin() + static_cast<std::ptrdiff_t>(offset) + 6400);
    }
    EXPECT_EQ(sounds[0], sounds[1]) << row.name;
  }
}

TEST(Players, AHundredNotesAtOnceDoNoHarm) {
  for (const InstrumentId id : {InstrumentId::piano, InstrumentId::electric_piano, InstrumentId::drum_kit}) {
    const auto player = player_of(id, 48000);
    for (int midi = 21; midi <= 108; ++midi) {
      player->note_on(midi, 90, 3, 0);
      play(*player, 64);
    }
    for (const float sample : play(*player, 4800)) ASSERT_TRUE(std::isfinite(sample));
  }
}

TEST(Instruments, NearestToEveryProgram) {
  for (int program = 0; program < 128; ++program) {
    EXPECT_FALSE(instrument(instrument_for_program(program, false)).drums);
    EXPECT_TRUE(instrument(instrument_for_program(program, true)).drums);
  }
  for (const InstrumentRow& row : instruments()) {
    EXPECT_EQ(instrument_named(row.name)->id, row.id);
    EXPECT_EQ(instrument(row.id).name, row.name);
    if (row.id != InstrumentId::click) {
      EXPECT_EQ(instrument_for_program(row.program, row.drums), row.id) << row.name;
    }
  }
  EXPECT_EQ(instrument_named("kazoo"), nullptr);
}

}  // namespace
}  // namespace romanesca
