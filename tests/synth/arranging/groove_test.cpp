#include "synth/arranging/groove.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "synth/arranging/arranger.h"
#include "theory/songs/progression_text.h"

namespace romanesca {
namespace {

TEST(Groove, SwingMovesTheSecondOfTwo) {
  Groove groove;
  EXPECT_EQ(swung_place(Beats(7, 2), groove), Beats(7, 2));
  groove.swing_percent = 60;
  EXPECT_EQ(swung_place(Beats(3), groove), Beats(3));
  EXPECT_EQ(swung_place(Beats(7, 2), groove), Beats(36, 10));
  EXPECT_EQ(swung_place(Beats(13, 4), groove), Beats(33, 10));
  EXPECT_EQ(swung_place(Beats(15, 4), groove), Beats(38, 10));
  EXPECT_EQ(swung_place(Beats(4), groove), Beats(4));
  groove.swung = Beats(1, 4);
  EXPECT_EQ(swung_place(Beats(1, 4), groove), Beats(3, 10));
  EXPECT_EQ(swung_place(Beats(1, 2), groove), Beats(1, 2));
}

Arrangement pop_played(int human, std::uint32_t seed) {
  const auto parsed = parse_progression("| C | Am | F | G | C | Am | Dm | G7 |", "t");
  const Timeline line = timeline(*parsed, {});
  return arrange(plan_form({&line, 1}, {}, 90, {}), *style_named("pop"), {90, human, std::nullopt, seed});
}

TEST(Groove, EveryTimeLiesOnTheGrid) {
  for (const int human : {0, 100}) {
    for (const NoteEvent& event : pop_played(human, 3).events) {
      EXPECT_EQ(960 % event.start.denominator(), 0);
      EXPECT_EQ(960 % event.length.denominator(), 0);
    }
  }
}

// Struck strings of a strum keep their distance; whole strokes move, a little, and on average by the part's lean.
TEST(Groove, HumanUnevennessIsSmallAndDoesNotDrift) {
  const Arrangement exact = pop_played(0, 7);
  const Arrangement human = pop_played(100, 7);
  ASSERT_EQ(exact.events.size(), human.events.size());
  std::map<int, std::map<int, std::vector<NoteEvent>>> notes;
  for (const NoteEvent& event : human.events) notes[event.part][event.midi].push_back(event);
  std::map<int, std::map<int, std::size_t>> used;
  std::map<int, double> sums;
  std::map<int, int> counts;
  int changed_velocity = 0;
  for (const NoteEvent& event : exact.events) {
    const NoteEvent& moved = notes[event.part][event.midi].at(used[event.part][event.midi]++);
    const double late = (moved.start - event.start).quarters() * 60 / 90;
    EXPECT_LE(std::abs(late), 0.036);
    EXPECT_LE(std::abs(event.velocity - moved.velocity), 10);
    sums[event.part] += late;
    ++counts[event.part];
    changed_velocity += event.velocity != moved.velocity ? 1 : 0;
  }
  EXPECT_GT(changed_velocity, static_cast<int>(exact.events.size()) / 2);
  for (const auto& [part, sum] : sums) {
    const double lean = style_named("pop")->parts[static_cast<std::size_t>(part)].lean_ms / 1000;
    EXPECT_NEAR(sum / counts[part], lean, 0.003) << exact.parts[static_cast<std::size_t>(part)].name;
  }
}

TEST(Groove, TheSeedDecides) {
  EXPECT_EQ(pop_played(50, 1).events, pop_played(50, 1).events);
  EXPECT_NE(pop_played(50, 1).events, pop_played(50, 2).events);
  EXPECT_NE(pop_played(0, 1).events, pop_played(0, 2).events);
}

}  // namespace
}  // namespace romanesca
