#include "theory/tunes/singer_range.h"

#include <gtest/gtest.h>

#include "tests/theory/tune_maker.h"

namespace romanesca {
namespace {

TEST(SingerRange, ReadsTheLowestAndTheHighestNote) {
  const auto range = parse_singer_range("A3-D5");
  ASSERT_TRUE(range.has_value());
  EXPECT_EQ(range->lowest.midi(), 57);
  EXPECT_EQ(range->highest.midi(), 74);
  EXPECT_TRUE(parse_singer_range("Bb3-Eb5").has_value());
  for (const char* wrong : {"", "-", "A3", "A3-", "-D5", "D5-A3", "A3-A3", "A3 D5", "H3-D5", "A3-D5-E5", "a3-d5"}) {
    EXPECT_FALSE(parse_singer_range(wrong).has_value()) << wrong;
  }
}

TEST(SingerRange, MovesATuneNoFartherThanItMust) {
  const Tune tune = tune_of_text("C4 G4 C5");
  EXPECT_EQ(shift_into(*parse_singer_range("C4-C5"), tune), 0);
  EXPECT_EQ(shift_into(*parse_singer_range("A3-D5"), tune), 0);
  EXPECT_EQ(shift_into(*parse_singer_range("E4-E5"), tune), 4);
  EXPECT_EQ(shift_into(*parse_singer_range("E4-A5"), tune), 4);
  EXPECT_EQ(shift_into(*parse_singer_range("F3-A4"), tune), -3);
  EXPECT_EQ(shift_into(*parse_singer_range("C2-D3"), tune), -22);
  EXPECT_FALSE(shift_into(*parse_singer_range("C4-B4"), tune).has_value());
  EXPECT_EQ(shift_into(*parse_singer_range("C4-B4"), {}), 0);
}

TEST(SingerRange, KnowsTheTunesOwn) {
  const auto range = range_of(tune_of_text("E4 C4 Bb4 A4"));
  ASSERT_TRUE(range.has_value());
  EXPECT_EQ(to_string(range->lowest), "C4");
  EXPECT_EQ(to_string(range->highest), "Bb4");
  EXPECT_FALSE(range_of({}).has_value());
  EXPECT_EQ(to_string(moved_by_octaves(tune_of_text("Eb4"), -1).notes[0].pitch), "Eb3");
}

}  // namespace
}  // namespace romanesca
