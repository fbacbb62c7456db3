// Loudness by role: how loud each part of a style is beside its drums (tests/measure/part_balance.h, common practice,
// no source). A sample of the styles; tests/measure/mix_meter.cpp measures all of them beside a SoundFont.
#include <gtest/gtest.h>

#include <cmath>

#include "cli/studio/backing_track.h"
#include "tests/measure/octave_bands.h"
#include "tests/measure/part_balance.h"
#include "tests/measure/section_loudness.h"
#include "theory/songs/progression_text.h"

namespace romanesca {
namespace {

constexpr double balance_rate_hz = 24000;

BackingTrack track_in(const std::string& style, int upper, const char* text, int times) {
  NamedProgression source{*parse_progression(text, "t"), "t", std::nullopt};
  source.progression.written_meter = Meter{upper, 4};
  BandRequest band;
  band.style = style;
  band.times = times;
  return *arrange_backing(*place_in_key(std::move(source), std::nullopt), band);
}

TEST(StyleBalance, PartsLieWhereTheirRolesWantThem) {
  // What a style's own levels may add to the rule: its grids differ from section to section.
  constexpr double leeway_lu = 3;
  const std::pair<const char*, int> sample[] = {{"pop", 4}, {"jazz-swing", 4}, {"waltz", 3}};
  for (const auto& [style, upper] : sample) {
    const Performance performance = track_in(style, upper, "| C | Am | F | G |", 2).song.performance;
    double drums = 0;
    int measured = 0;
    for (std::size_t i = 0; i < performance.parts.size(); ++i) {
      const Part& part = performance.parts[i];
      if (part.muted) continue;
      const double loudness = test::part_loudness_lufs(performance, i, balance_rate_hz);
      if (!std::isfinite(loudness)) continue;  // it plays in full sections alone
      if (i == 0) drums = loudness;
      const auto off = test::balance_correction_db(part.name, loudness - drums);
      if (!off) continue;
      ++measured;
      EXPECT_LE(std::abs(*off), leeway_lu) << style << ": " << part.name << " " << loudness - drums << " LU";
    }
    EXPECT_GE(measured, 2) << style;
  }
}

// The range that is wanted of a chorus (`measure_players loudness` measures every style): common practice, no source.
TEST(StyleBalance, AChorusIsLouderThanItsVerseAndABridgeSofter) {
  const std::pair<const char*, int> sample[] = {{"pop", 4}, {"bossa-nova", 4}, {"sixteenth-ballad", 4}, {"waltz", 3}};
  for (const auto& [style, upper] : sample) {
    const Performance performance = track_in(style, upper, test::verse_chorus_bridge, 1).song.performance;
    const auto lufs = test::section_loudness_lufs(performance, 3, balance_rate_hz);
    const auto players = test::section_players(performance, 3);
    EXPECT_GE(lufs[1] - lufs[0], 2) << style;
    EXPECT_LE(lufs[1] - lufs[0], 4) << style;
    EXPECT_LT(lufs[2], lufs[0]) << style;
    EXPECT_GT(players[1], players[2]) << style;
  }
}

}  // namespace
}  // namespace romanesca
