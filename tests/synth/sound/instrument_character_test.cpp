// What makes instruments sound alive: partials, decays, strokes that differ. The limits are near those of issue 25, set
// beside two sampled sets of instruments (FluidR3 and TimGM6mb, by fluidsynth); nobody has listened.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "synth/sound/instrument.h"
#include "tests/measure/solo.h"
#include "tests/measure/sound_meter.h"

namespace romanesca {
namespace {

using test::level_db;
using test::play;

std::vector<float> one_note(InstrumentId id, int midi, std::uint32_t seed, std::size_t frames) {
  const auto player = test::player_of(id, 48000);
  player->note_on(midi, 90, seed, 0);
  return play(*player, frames);
}

/// Partials above -60 dB of the strongest, from a tenth of a second on for a second.
int audible_partials(InstrumentId id, int midi) {
  const std::vector<float> sound = one_note(id, midi, 1, 52800);
  const std::span<const float> steady = std::span<const float>(sound).subspan(4800);
  std::vector<double> levels;
  for (int n = 1; n <= 30; ++n) {
    // A stiff string's partials lie a little above the multiples.
    double strongest = 0;
    for (double stretch = 1; stretch < 1.02; stretch += 0.0005)
      strongest = std::max(strongest, std::abs(test::component(steady, n * stretch * test::frequency_of(midi), 48000)));
    levels.push_back(strongest);
  }
  const double most = *std::max_element(levels.begin(), levels.end());
  return static_cast<int>(std::count_if(levels.begin(), levels.end(), [&](double each) { return each > most * 1e-3; }));
}

TEST(Partials, PluckedStringsHaveEnough) {
  EXPECT_GE(audible_partials(InstrumentId::electric_bass, 33), 14);
  EXPECT_GE(audible_partials(InstrumentId::upright_bass, 33), 10);
  EXPECT_GE(audible_partials(InstrumentId::nylon_guitar, 48), 12);
}

/// Seconds from the loudest hundredth until so many dB less.
double fall_s(InstrumentId id, int key, double fall_db) {
  const std::vector<float> sound = one_note(id, key, 1, 48000 * 5);
  double loudest = -200;
  std::size_t from = 0, last = 0;
  for (std::size_t at = 0; at + 480 <= sound.size(); at += 480) {
    const double level = level_db(std::span<const float>(sound).subspan(at, 480));
    if (level > loudest) {
      loudest = level;
      from = at;
    }
    if (level > loudest - fall_db) last = at;
  }
  return static_cast<double>(last - from) / 48000;
}

TEST(Drums, TomsAndCymbalsRing) {
  for (const int tom : {41, 45, 50}) EXPECT_GT(fall_s(InstrumentId::drum_kit, tom, 20), 0.25) << tom;
  EXPECT_GT(fall_s(InstrumentId::drum_kit, 46, 20), 0.45);
  EXPECT_GT(fall_s(InstrumentId::drum_kit, 49, 60), 2.8);
}

TEST(Players, NoTwoStrokesAreAlike) {
  for (const InstrumentRow& row : instruments()) {
    const int midi = row.drums ? 38 : 60;
    if (row.id == InstrumentId::click || row.id == InstrumentId::lead) continue;  // a signal, and a voice
    for (const std::uint32_t seed : {2U, 3U, 4U}) {
      const std::vector<float> first = one_note(row.id, midi, 1, 14400);
      std::vector<float> second = one_note(row.id, midi, seed, 14400);
      EXPECT_NEAR(level_db(first), level_db(second), 1.5) << row.name << " " << seed;
      for (std::size_t i = 0; i < second.size(); ++i) second[i] -= first[i];
      EXPECT_GT(level_db(second) - level_db(first), -45) << row.name << " " << seed;
      EXPECT_EQ(first, one_note(row.id, midi, 1, 14400)) << row.name;
    }
  }
}

}  // namespace
}  // namespace romanesca
