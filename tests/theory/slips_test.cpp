#include "theory/analysis/slips.h"

#include <gtest/gtest.h>

#include "tests/theory/analysed.h"
#include "theory/analysis/remarks.h"

namespace romanesca {
namespace {

using test::analysed;

/// "14:Am" for each slip; the bar and what was meant.
std::string slips_in(const std::string& text) {
  std::string result;
  const Analysis analysis = analysed(text);
  for (const Slip& slip : find_slips(analysis)) {
    result += (result.empty() ? "" : " ") + std::to_string(analysis.chords[slip.chord].timed.bar) + ":" +
              to_string(slip.meant);
  }
  return result;
}

// The ways of a hand: the m, the neighbouring letter, the accidental. Invented songs.
TEST(Slips, AreFoundByTheLinesThatAreAlike) {
  EXPECT_EQ(slips_in("C Am F G C Am F G C Am F G C A F G"), "14:Am");
  EXPECT_EQ(slips_in("G Em C D G Em C D Gm Em C D G Em C D"), "9:G");
  EXPECT_EQ(slips_in("Eb Cm Ab Bb Eb Cm Ab Bb Eb Cm A Bb Eb Cm Ab Bb"), "11:Ab");
  EXPECT_EQ(slips_in("D Bm G A D Bm G A D Bm F A D Bm G A"), "11:G");
  EXPECT_EQ(slips_in("C G/B Am F C G/B Am F C G/B Am F C Gm/B Am F"), "14:G/B");
}

TEST(Slips, LeaveSongsAsTheyAreAlone) {
  EXPECT_EQ(slips_in("C Am F G C Am F G C Am F G C Am F G"), "");
  EXPECT_EQ(slips_in("C Am F G C Am Dm G C Am F G C F G C"), "");
  EXPECT_EQ(slips_in("C F C G C F C G C Fm C G C F G C"), "") << "iv for IV is meant";
  EXPECT_EQ(slips_in("C7 C7 C7 C7 F7 F7 C7 C7 G7 F7 C7 C7"), "");
  EXPECT_EQ(slips_in("C"), "");
  EXPECT_EQ(slips_in("N.C. N.C."), "");
}

TEST(Slips, AreSaidAsAQuestionWithTheBars) {
  for (const Remark& remark : remarks_on(analysed("C Am F G C Am F G C Am F G C A F G"))) {
    if (remark.kind != "slip") continue;
    EXPECT_EQ(remark.bar, 14);
    EXPECT_EQ(remark.text, "Bars 2, 6 and 10, in lines like this one, have Am; did you mean Am instead of A?");
  }
}

// Every candidate is one that typing could make, and the score is the one that decides.
TEST(Slips, CandidatesStandInThePiece) {
  const Analysis analysis = analysed("C Am F G C Am F G Cm A F# G C Am F G");
  const auto candidates = slip_candidates(analysis);
  EXPECT_GT(candidates.size(), 5U);
  for (const Slip& slip : candidates) {
    const Chord& typed = *analysis.chords[slip.chord].timed.chord;
    EXPECT_NE(typed, slip.meant);
    if (slip.habit == TypingHabit::third) {
      EXPECT_EQ(typed.root, slip.meant.root);
      EXPECT_NE(typed.type, slip.meant.type);
    } else {
      EXPECT_EQ(typed.type, slip.meant.type);
    }
  }
}

}  // namespace
}  // namespace romanesca
