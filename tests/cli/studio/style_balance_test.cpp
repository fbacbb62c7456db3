// Loudness by role: how loud each part of a style is beside its drums (tests/measure/part_balance.h, common practice,
// no source). A sample of the styles; tests/measure/mix_meter.cpp measures all of them beside a SoundFont.
#include <gtest/gtest.h>

#include <cmath>
#include <set>

#include "cli/studio/backing_track.h"
#include "tests/measure/octave_bands.h"
#include "tests/measure/part_balance.h"
#include "theory/songs/progression_text.h"

namespace romanesca {
namespace {

constexpr double balance_rate_hz = 24000;

BackingTrack track_in(const std::string& style, int upper, std::optional<Intensity> intensity = std::nullopt) {
  NamedProgression source{*parse_progression("| C | Am | F | G |", "t"), "t", std::nullopt};
  source.progression.written_meter = Meter{upper, 4};
  BandRequest band;
  band.style = style;
  band.times = 2;
  band.intensity = intensity;
  return *arrange_backing(*place_in_key(std::move(source), std::nullopt), band);
}

TEST(StyleBalance, PartsLieWhereTheirRolesWantThem) {
  // What a style's own levels may add to the rule: its grids differ from section to section.
  constexpr double leeway_lu = 3;
  const std::pair<const char*, int> sample[] = {{"pop", 4}, {"jazz-swing", 4}, {"waltz", 3}};
  for (const auto& [style, upper] : sample) {
    const Performance performance = track_in(style, upper).song.performance;
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

// The range that is wanted of a chorus (tests/measure/mix_meter -s measures every style): common practice, no source.
TEST(StyleBalance, AFullSectionIsLouderAndHasMorePlayers) {
  const std::pair<const char*, int> sample[] = {{"pop", 4}, {"rock", 4}, {"sixteenth-ballad", 4}, {"slow-waltz", 3}};
  for (const auto& [style, upper] : sample) {
    const auto loudness_and_players = [&, id = std::string(style), beats = upper](Intensity intensity) {
      const Performance performance = track_in(id, beats, intensity).song.performance;
      std::set<int> players;
      for (const NoteEvent& event : performance.events) {
        if (!performance.parts[event.part].muted) players.insert(event.part);
      }
      Performer performer(performance, balance_rate_hz);
      test::StereoSound sound = test::whole_sound(performer);
      return std::pair(test::loudness_lufs(sound, balance_rate_hz), players.size());
    };
    const auto soft = loudness_and_players(Intensity::soft);
    const auto medium = loudness_and_players(Intensity::medium);
    const auto full = loudness_and_players(Intensity::full);
    EXPECT_LT(soft.first, medium.first) << style;
    EXPECT_GE(full.first - medium.first, 2) << style;
    EXPECT_LE(full.first - medium.first, 4) << style;
    EXPECT_GT(full.second, soft.second) << style;
  }
}

}  // namespace
}  // namespace romanesca
