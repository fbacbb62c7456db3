#include "theory/analysis/analysis.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include "tests/theory/analysed.h"
#include "theory/analysis/remarks.h"
#include "theory/chords/numeral_text.h"
#include "theory/songs/progression.h"
#include "theory/songs/progression_text.h"

namespace romanesca {
namespace {

using test::analysed;

std::string numerals_of(const std::string& text) {
  const Analysis analysis = analysed(text);
  std::string result = to_string(analysis.keys.main.key) + ":";
  for (const AnalysedChord& each : analysis.chords)
    result += " " + (each.reading ? to_string(each.reading->numeral) : "-");
  return result;
}

bool has_remark(const Analysis& analysis, const std::string& kind, int bar) {
  for (const Remark& remark : remarks_on(analysis)) {
    if (remark.kind == kind && remark.bar == bar) return true;
  }
  return false;
}

// Textbook readings (Kostka & Payne; Open Music Theory; from memory), two people would agree.
TEST(Analysis, OrdinarySongs) {
  EXPECT_EQ(numerals_of("| G | D/F# | Em | C | G | D | G | G |"), "G major: I V6 vi IV I V I I");
  EXPECT_EQ(numerals_of("| C | Am | F | G | C | Am | F | G | C |"), "C major: I vi IV V I vi IV V I");
  EXPECT_EQ(numerals_of("| Am | Dm | E7 | Am | Am | Dm | E7 | Am |"), "A minor: i iv V7 i i iv V7 i");
  EXPECT_EQ(numerals_of("| Eb | Cm7 | Fm7 | Bb7 | Eb | Cm7 | Fm7 | Bb7 | Eb |"),
            "Eb major: I vi7 ii7 V7 I vi7 ii7 V7 I");
  EXPECT_EQ(numerals_of("| D | A7/C# | Bm | G | D | E7 | A7 | D |"), "D major: I V65 vi IV I V7/V V7 I");
  EXPECT_EQ(numerals_of("| C | Fm | C | G | C |"), "C major: I iv I V I");
}

TEST(Analysis, StatedKeyIsTaken) {
  const Analysis analysis = analysed("key: A minor\n| F | C | G | Am |");
  EXPECT_EQ(to_string(analysis.keys.main.key), "A minor");
  EXPECT_EQ(analysis.keys.main.confidence, 1);
  EXPECT_EQ(to_string(analysis.chords[0].reading->numeral), "bVI");
}

// A song that goes to another key and stays there is not read in one key.
TEST(Analysis, FollowsAModulation) {
  std::string text = "|";
  for (int i = 0; i < 4; ++i) text += " C | F | G7 | C |";
  for (int i = 0; i < 4; ++i) text += " Eb | Ab | Bb7 | Eb |";
  const Analysis analysis = analysed(text);
  EXPECT_EQ(to_string(analysis.chords.front().key), "C major");
  EXPECT_EQ(to_string(analysis.chords.back().key), "Eb major");
  EXPECT_EQ(to_string(analysis.chords.back().reading->numeral), "I");
}

// The four-chord schemas of Open Music Theory, chapter "4-Chord Schemas", twice round in every major key: the numerals
// read back are the ones written, and the key found is the key.
TEST(Analysis, FourChordSchemasInEveryMajorKey) {
  const char* schemas[] = {"I vi IV V", "I vi ii V", "I V vi IV"};
  for (const Key& key : written_keys()) {
    if (key.mode != Mode::major) continue;
    for (const char* schema : schemas) {
      const auto numerals = parse_progression(std::string(schema) + " " + schema + " I", "t");
      Progression chords = realised(*numerals, key);
      chords.key.reset();
      const Analysis analysis = analyse(chords);
      EXPECT_EQ(analysis.keys.main.key, key) << schema << " in " << to_string(key);
      std::string read;
      for (const AnalysedChord& each : analysis.chords) read += to_string(each.reading->numeral) + " ";
      EXPECT_EQ(read, std::string(schema) + " " + schema + " I ") << to_string(key);
    }
  }
}

TEST(Analysis, OriginsOfChords) {
  const auto origin = [](const std::string& text, std::size_t chord) {
    return analysed(text).chords[chord].reading->origin;
  };
  EXPECT_EQ(origin("key: C\n| C | Fm | C |", 1), Origin::borrowed);
  EXPECT_EQ(origin("key: C\n| C | D7 | G | C |", 1), Origin::applied);
  EXPECT_EQ(origin("key: C\n| C7 | F7 | C7 |", 0), Origin::blues);
  EXPECT_EQ(origin("key: C\n| C | C#dim7 | Dm | G | C |", 1), Origin::applied);
  EXPECT_EQ(origin("key: C\n| C | E | F | G |", 1), Origin::chromatic_third);
  EXPECT_EQ(origin("key: A minor\n| Am | E7 | G#dim | Am |", 2), Origin::diatonic);
  EXPECT_EQ(origin("key: G\n| G | F#m | G | D |", 1), Origin::chromatic);
  EXPECT_EQ(origin("key: C\n| C | Db/C | C | G |", 1), Origin::borrowed);
  EXPECT_EQ(origin("key: C\n| C | B/C | C | G |", 1), Origin::pedal);
  EXPECT_EQ(origin("key: C\n| C | B | C | G |", 1), Origin::chromatic);
}

// A diminished chord whose bass goes on by a half or a whole step, either way, passes (common practice, no source).
TEST(Analysis, PassingDiminishedChords) {
  const auto origin = [](const std::string& text) { return analysed(text).chords[1].reading->origin; };
  EXPECT_EQ(origin("key: C\n| C | Ebdim7 | Dm | G |"), Origin::passing);
  EXPECT_EQ(origin("key: C\n| Em | Ebdim7 | Dbmaj7 | C |"), Origin::passing);
  EXPECT_EQ(origin("key: C\n| C | Ebdim7 | F | G |"), Origin::passing);
  EXPECT_NE(origin("key: C\n| C | Ebdim7 | G | C |"), Origin::passing);
}

/// "authentic@5 half@8 "
std::string cadences(const std::string& text) {
  std::string result;
  for (const Cadence& cadence : analysed(text).cadences) {
    result += fmt::format("{}@{} ", to_string(cadence.kind), cadence.bar);
  }
  return result;
}

TEST(Cadence, Kinds) {
  EXPECT_EQ(cadences("key: C\n| C | F | G | C |"), "authentic@4 ");
  EXPECT_EQ(cadences("key: C\n| C | Am | F | C |"), "plagal@4 ");
  EXPECT_EQ(cadences("key: C\n| C | F | G | Am |"), "deceptive@4 ");
  EXPECT_EQ(cadences("key: C\n| C | Am | F | G |"), "half@4 ");
}

// Plagal is said of the fourth degree alone (harmony textbooks; from memory); rock's way home from the lowered seventh
// has no name here.
TEST(Cadence, TheLoweredSeventhDegreeMakesNone) {
  EXPECT_EQ(cadences("key: C\n| C | F | Bb | C |"), "");
  EXPECT_EQ(cadences("key: A minor\n| Am | F | G | Am |"), "");
  EXPECT_EQ(cadences("key: A minor\n| Am | F | Dm | Am |"), "plagal@4 ");
  for (const Remark& remark : remarks_on(analysed("key: C\n| C | F | Bb | C |"))) EXPECT_NE(remark.kind, "cadence");
}

// Phrases are groups of four bars (common practice, no source); what the first bar of the next group resolves is
// counted there, once.
TEST(Cadence, PlacesInLongerPieces) {
  EXPECT_EQ(cadences("key: C\n| C | F | C | G | C | F | G | C |"), "authentic@5 authentic@8 ");
  EXPECT_EQ(cadences("key: C\n| C | F | C | G | F | C | G | C |"), "half@4 authentic@8 ");
  EXPECT_EQ(cadences("key: C\n| C | G | C | F | Dm | G | Am | F |"), "");  // inside a phrase nothing closes
  EXPECT_EQ(cadences("key: C\n[A]\n| C | G |\n[B]\n| C | F | G | C |"), "half@2 authentic@6 ");
}

TEST(Remarks, AskAboutSlipsAndSpelling) {
  const Analysis slip = analysed("key: G\n| G | D | F#m | C | G | D | G |");
  EXPECT_TRUE(has_remark(slip, "slip", 3));
  const Analysis spelling = analysed("key: F\n| F | A# | C | F |");
  EXPECT_TRUE(has_remark(spelling, "spelling", 2));
  for (const Remark& remark : remarks_on(spelling)) {
    if (remark.kind != "spelling") continue;
    EXPECT_NE(remark.text.find("write Bb for A#"), std::string::npos) << remark.text;
  }
}

TEST(Remarks, PraiseWhatWorks) {
  EXPECT_TRUE(has_remark(analysed("key: C\n| C | F | G7 | C |"), "cadence", 4));
  EXPECT_TRUE(has_remark(analysed("key: C\n| C | G/B | Am | C/G | F | C |"), "bass", 1));
  EXPECT_TRUE(has_remark(analysed("key: C\n| C | Fm | G | C |"), "borrowed", 2));
  EXPECT_FALSE(has_remark(analysed("key: C\n| C | F | G7 | C |"), "slip", 2));
}

// A short piece that begins and ends on a chord is at home there, even behind a chain of dominants.
TEST(KeyFinding, ShortPiecesAreAtHomeWhereTheyBeginAndEnd) {
  const auto key_of = [](const std::string& text) { return to_string(analysed(text).keys.main.key); };
  EXPECT_EQ(key_of("| C | D7 | G7 | C |"), "C major");
  EXPECT_EQ(key_of("| F | G7 | C7 | F |"), "F major");
  EXPECT_EQ(key_of("| Cm | Ab | Eb | Bb | Cm | Fm | G | Cm |"), "C minor");
}

// A new section may be in a new key without a long stay in it.
TEST(KeyFinding, SectionsMayHaveKeysOfTheirOwn) {
  const Analysis analysis = analysed(
      "[Verse]\n| C | G/B | Am | F |\n| C | F | G7 | C |\n[Chorus]\n| D | G | A7 | D |\n| Bm | G | A7 | D |\n");
  EXPECT_EQ(to_string(analysis.keys.by_bar[0]), "C major");
  EXPECT_EQ(to_string(analysis.keys.by_bar[7]), "C major");
  EXPECT_EQ(to_string(analysis.keys.by_bar[8]), "D major");
  EXPECT_EQ(to_string(analysis.chords.back().reading->numeral), "I");
}

TEST(Remarks, SayWhereABorrowedChordComesFrom) {
  const auto text_of = [](const std::string& song) {
    for (const Remark& remark : remarks_on(analysed(song))) {
      if (remark.kind == "borrowed") return remark.text;
    }
    return std::string();
  };
  EXPECT_EQ(text_of("key: C\n| C | D7 | F | C |"), "D7 (II7) is borrowed from C lydian: a brighter colour.");
  EXPECT_EQ(text_of("key: C\n| C | Fm | G | C |"), "Fm (iv) is borrowed from C minor: a darker colour.");
}

TEST(KeyFinding, EmptyAndSilentPieces) {
  const Analysis silent = analysed("| N.C. | N.C. |");
  EXPECT_EQ(silent.keys.main.confidence, 0);
  EXPECT_EQ(silent.keys.by_bar.size(), 2U);
  const Analysis late = analysed("| N.C. | N.C. | C | F | G | C |");
  EXPECT_EQ(to_string(late.keys.main.key), "C major");
  EXPECT_EQ(late.keys.by_bar.size(), 6U);
}

TEST(KeyFinding, ProbabilitiesSumToOne) {
  const Analysis analysis = analysed("| Am | F | C | G | Am | F | C | G |");
  double sum = analysis.keys.main.confidence;
  for (const KeyGuess& guess : analysis.keys.alternatives) sum += guess.confidence;
  EXPECT_LE(sum, 1.0 + 1e-9);
  EXPECT_GT(sum, 0.9);
}

// Moving the whole piece moves the answer with it.
TEST(KeyFinding, DoesNotDependOnTheKey) {
  const auto song = parse_progression("| C | G/B | Am | Em | F | C | Dm | G7 | C | E7 | Am | F | G | C |", "t");
  const Analysis original = analyse(*song);
  for (int by = -6; by <= 6; ++by) {
    const Analysis moved = analyse(transposed(*song, Interval::simple(by)));
    EXPECT_NEAR(moved.keys.main.confidence, original.keys.main.confidence, 1e-9);
    for (std::size_t i = 0; i < original.chords.size(); ++i) {
      EXPECT_EQ(moved.chords[i].reading->numeral, original.chords[i].reading->numeral);
    }
  }
}

}  // namespace
}  // namespace romanesca
