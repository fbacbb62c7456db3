// What long notes outside their chords are called: textbook figures (Kostka & Payne, "Tonal Harmony", the chapters on
// nonchord tones; from memory), written out here with notes of our own.
#include "theory/harmony/tune_check.h"

#include <gtest/gtest.h>

#include "tests/theory/tune_maker.h"
#include "theory/songs/progression_text.h"

namespace romanesca {
namespace {

std::vector<OutsideNote> check(std::string_view notes, std::string_view chords) {
  const auto progression = parse_progression(std::string(chords), "test");
  EXPECT_TRUE(static_cast<bool>(progression));
  const Key key;
  return notes_outside_chords(tune_of_text(notes), timeline(*progression, key), key);
}

TEST(TuneCheck, ChordTonesAreFine) { EXPECT_TRUE(check("C4 E4 G4 C5 F4 A4 C5 -", "| C | F |").empty()); }

TEST(TuneCheck, ASuspensionFallsIntoTheChord) {
  const auto found = check("F4 A4 C5 - C5 - B4 -", "| F | G |");
  ASSERT_EQ(found.size(), 1U);
  EXPECT_EQ(found[0].kind, OutsideKind::suspension);
  EXPECT_EQ(found[0].bar, 2);
  EXPECT_EQ(found[0].beat, Beats(1));
  EXPECT_FALSE(found[0].rubs());
  EXPECT_NE(found[0].text.find("falls to B"), std::string::npos) << found[0].text;
}

TEST(TuneCheck, AnAppoggiaturaLeansOnTheNextNote) {
  const auto found = check("C4 - F4 E4", "| C |");
  ASSERT_EQ(found.size(), 1U);
  EXPECT_EQ(found[0].kind, OutsideKind::appoggiatura);
  EXPECT_EQ(found[0].beat, Beats(3));
}

TEST(TuneCheck, ANinthIsAColourWithItsName) {
  const auto found = check("E4 - D4 - G4 - - -", "| C | G |");
  ASSERT_EQ(found.size(), 1U);
  EXPECT_EQ(found[0].kind, OutsideKind::colour);
  EXPECT_NE(found[0].text.find("Cadd9"), std::string::npos) << found[0].text;
}

TEST(TuneCheck, ANoteASemitoneAboveAChordToneRubs) {
  const auto found = check("F4 - - - C5 - - -", "| C | C |");
  ASSERT_EQ(found.size(), 1U);
  EXPECT_EQ(found[0].kind, OutsideKind::clash);
  EXPECT_TRUE(found[0].rubs());
  EXPECT_NE(found[0].text.find("Try F or Dm"), std::string::npos) << found[0].text;
}

TEST(TuneCheck, ShortNotesMayPass) {
  const auto progression = parse_progression("| C |", "test");
  const Tune tune = tune_of_text("C4 D4 E4 F4 G4 A4 G4 -", Beats(1, 2));
  EXPECT_TRUE(notes_outside_chords(tune, timeline(*progression, {}), {}).empty());
}

TEST(TuneCheck, ANoteThatIsHeldIntoAnotherChordIsCheckedThere) {
  const auto found = check("G4 - - - - - - -", "| C | F |");
  ASSERT_EQ(found.size(), 1U);
  EXPECT_EQ(found[0].bar, 2);
}

}  // namespace
}  // namespace romanesca
