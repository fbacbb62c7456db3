#include "progressions/exercises/loop.h"

#include <gtest/gtest.h>

#include <set>

#include "progressions/continuation.h"
#include "theory/chords/numeral_text.h"

namespace romanesca {
namespace {

TEST(Loops, EnoughForEveryModeAndLevel) {
  for (const Mode mode : all_modes) {
    if (mode == Mode::locrian) continue;
    for (const Level& each : levels()) {
      const auto found = loops_for(mode, each);
      EXPECT_GE(found.size(), 5U) << to_string(mode) << " " << each.number;
      for (const Loop* loop : found) {
        EXPECT_TRUE(chords_fit(loop->analysis, each)) << loop->numerals();
        EXPECT_GE(loop->bars.size(), 4U);
        EXPECT_LE(loop->bars.size(), 8U);
      }
    }
  }
}

// No loop is there twice, and each is counted right: it fits the level named and none below.
TEST(Loops, EachOnceAtItsLevel) {
  for (const Mode mode : {Mode::major, Mode::minor, Mode::dorian}) {
    std::set<std::string> seen;
    for (const Loop& loop : loops(mode)) {
      std::string bars;
      for (const auto& bar : loop.bars) {
        for (const Numeral& numeral : bar) bars += to_string(numeral) + " ";
        bars += "| ";
      }
      EXPECT_TRUE(seen.insert(bars).second) << bars;
      EXPECT_TRUE(loop.level == 8 || chords_fit(loop.analysis, level(loop.level))) << bars;
      EXPECT_TRUE(loop.level == 1 || !chords_fit(loop.analysis, level(loop.level - 1))) << bars;
    }
    EXPECT_GE(seen.size(), 40U) << to_string(mode);
  }
}

// A round of a church mode holds its special note, or it would be plain major or minor.
TEST(Loops, ChurchModesShowTheirColour) {
  for (const Mode mode : {Mode::dorian, Mode::phrygian, Mode::lydian, Mode::mixolydian}) {
    const Key key = key_without_accidentals(mode);
    const PitchClass special = key.degree(*characteristic_degree(mode));
    const Mode plain = is_minorish(mode) ? Mode::minor : Mode::major;
    EXPECT_FALSE((Key{key.tonic, plain}.contains(special))) << to_string(mode);
    for (const Loop& loop : loops(mode)) {
      bool holds = false;
      for (const Chord& chord : loop.chords(key)) {
        for (const PitchClass tone : chord.tones()) holds = holds || tone.sounds_like(special);
      }
      EXPECT_TRUE(holds) << to_string(mode) << " " << loop.numerals();
    }
  }
}

TEST(Loops, EndingsAreFound) {
  for (const Loop& loop : loops(Mode::major)) {
    if (loop.numerals() == "I IV V I") {
      EXPECT_EQ(loop.ending, CadenceKind::authentic);
    }
    if (loop.numerals() == "I vi IV V") {
      EXPECT_EQ(loop.ending, CadenceKind::half);
    }
  }
}

}  // namespace
}  // namespace romanesca
