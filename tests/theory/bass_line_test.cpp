#include "theory/voicing/bass_line.h"

#include <gtest/gtest.h>

#include "theory/songs/progression_text.h"
#include "theory/songs/progression_writer.h"

namespace romanesca {
namespace {

std::string stepwise(const std::string& text) {
  const auto song = parse_progression(text, "test");
  EXPECT_TRUE(song) << text;
  const std::string written = write_progression(with_stepwise_bass(*song, analyse(*song)));
  return written.substr(written.find('|'));
}

// Descending basses as songs have them (common practice, no source).
TEST(BassLine, GoesByHalfAndWholeSteps) {
  EXPECT_EQ(stepwise("key: C\n| C | G | Am | F | C |"), "| C | G/B | Am | F/A | C |\n");
  EXPECT_EQ(stepwise("key: C\n| C | G | F | C |"), "| C | G/B | F/A | C |\n");
  EXPECT_EQ(stepwise("key: A minor\n| Am | Em | F | C |"), "| Am | Em/G | F | C |\n");  // whole steps alone
}

TEST(BassLine, KeepsItsEndsItsCadenceAndWhatIsWritten) {
  EXPECT_EQ(stepwise("key: C\n| C | F | G | C |"), "| C | F | G | C |\n");
  EXPECT_EQ(stepwise("key: C\n| C | Am/E | F | G7 | C |"), "| C | Am/E | F | G7 | C |\n");
}

}  // namespace
}  // namespace romanesca
