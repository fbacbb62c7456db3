#include "theory/songs/doubtful_bars.h"

#include <gtest/gtest.h>

#include <array>

#include "theory/songs/progression_text.h"
#include "theory/songs/progression_writer.h"

namespace romanesca {
namespace {

TEST(DoubtfulBars, AreWrittenAndReadBack) {
  EXPECT_EQ(doubt_comment({}), "");
  EXPECT_EQ(doubt_comment(std::array{3}), "# ? bar 3");
  EXPECT_EQ(doubt_comment(std::array{3, 14}), "# ? bars 3, 14");
  Progression song = *parse_progression("| C | F |  # ? bars 1, 2\n| G | C |  # home\n| F | C |  # ? bar 6\n", "test");
  EXPECT_EQ(doubtful_bars(song), (std::vector<int>{1, 2, 6}));
  const Progression again = *parse_progression(write_progression(song), "test");
  EXPECT_EQ(doubtful_bars(again), (std::vector<int>{1, 2, 6}));
}

TEST(DoubtfulBars, TakeAnyComment) {
  for (const char* comment : {"", "#", "# ? bar", "# ? bars", "# ? bars x, y", "# ?", "# bars 3"}) {
    Progression song = *parse_progression("| C | F |", "test");
    song.sections.front().rows.front().comment = comment;
    EXPECT_TRUE(doubtful_bars(song).empty()) << comment;
  }
  Progression song = *parse_progression("| C | F |", "test");
  song.sections.front().rows.front().comment = "# ? bars 99999999999999999999, 0";
  EXPECT_EQ(doubtful_bars(song), std::vector<int>{1'000'000});
}

}  // namespace
}  // namespace romanesca
