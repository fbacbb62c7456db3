#include "theory/analysis/regions.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include "tests/theory/analysed.h"
#include "theory/analysis/key_finding.h"
#include "theory/analysis/transposed_repeats.h"
#include "theory/songs/progression_text.h"

namespace romanesca {
namespace {

using test::analysed;

/// "1:C major 17:Db major(step)"
std::string regions_of(const Analysis& analysis) {
  std::string text;
  for (const KeyRegion& region : key_regions(analysis)) {
    text += fmt::format("{}{}:{}", text.empty() ? "" : " ", region.bar, to_string(region.key));
    if (region.by != KeyChange::none) text += fmt::format("({})", to_string(region.by));
  }
  return text;
}

// The ways to another key that textbooks name (Open Music Theory, "Extended Tonicization and Modulation"; Kostka &
// Payne; from memory).
TEST(Regions, SayHowTheMusicGetsThere) {
  const std::string in_c = "| C | Am | F | G | C | Am | F | G |";
  EXPECT_EQ(regions_of(analysed(in_c + " Db | Bbm | Gb | Ab | Db | Bbm | Gb | Ab |")), "1:C major 9:Db major(step)");
  EXPECT_EQ(regions_of(analysed(in_c + " D | Bm | G | A | D | Bm | G | A |")), "1:C major 9:D major(step)");
  EXPECT_EQ(regions_of(analysed("| C | Am | F | G | C | Am | F | A7 | D | Bm | G | A | D | Bm | G | A |")),
            "1:C major 8:D major(dominant)");
  EXPECT_EQ(
      regions_of(analysed("| C | F | G7 | C | C | F | G7 | C | G | C | D7 | G | Em | C | D7 | G | G | C | D7 | G |")),
      "1:C major 9:G major(pivot)");
  EXPECT_EQ(regions_of(analysed("| C | Am | F | G | C | Am | F | C | E | C#m | A | B | E | C#m | A | B |")),
            "1:C major 9:E major(common tone)");
}

// The tonic where it begins spells the piece, not where it ends.
TEST(Regions, AreSpelledEachFromItsOwnChords) {
  EXPECT_EQ(regions_of(analysed("| C | Am | F | G | C | Am | F | G | F# | D#m | B | C# | F# | D#m | B | C# |")),
            "1:C major 9:F# major(direct)");
}

// The last eight bars of a song once more, moved by any interval, are the same song in another key; without them it
// stays in its key. Invented songs.
TEST(Regions, TheSameMusicElsewhereIsInAnotherKey) {
  const char* songs[] = {"C Am F G C Em F G F G Em Am F G C C", "G D Em C G D C C Am C G D Am C D D",
                         "D G A D Bm G A D G D Em A D G A D", "Am F C G Am F E7 Am Dm Am E7 Am Dm Am E7 Am"};
  for (const char* song : songs) {
    const Progression progression = *parse_progression(song, "t");
    const Analysis plain = analyse(progression);
    EXPECT_EQ(key_regions(plain).size(), 1U) << song;
    for (int semitones = 1; semitones < 12; ++semitones) {
      Progression longer = progression;
      const Progression moved = transposed(
          progression, Interval::simple(semitones * 7 % 12 > 6 ? semitones * 7 % 12 - 12 : semitones * 7 % 12));
      std::vector<Bar>& bars = longer.sections[0].rows[0].bars;
      const std::vector<Bar>& more = moved.sections[0].rows[0].bars;
      bars.insert(bars.end(), more.end() - 8, more.end());
      const Analysis analysis = analyse(longer);
      const int tonic = (plain.keys.main.key.tonic.semitone() + semitones) % 12;
      EXPECT_EQ(analysis.keys.main.key, plain.keys.main.key) << song << " +" << semitones;
      EXPECT_EQ(analysis.keys.by_bar[10], plain.keys.main.key) << song << " +" << semitones;
      EXPECT_EQ(analysis.keys.by_bar[20].tonic.semitone(), tonic) << song << " +" << semitones;
      EXPECT_EQ(analysis.chords.back().reading->numeral, plain.chords.back().reading->numeral) << song;
    }
  }
}

// Headings are evidence: a section of its own may be in its own key, and the song comes back. Where the chords stay
// those of the key, so does the key. Invented songs.
TEST(Regions, SectionsMayHaveTheirOwnKeys) {
  const std::string verse = "[Verse]\n| C | Am | F | G |\n| C | F | G | C |\n";
  EXPECT_EQ(regions_of(analysed(verse + "[Bridge]\n| F | Bb | C7 | F |\n| Dm | Gm | C7 | F |\n" + verse)),
            "1:C major 9:F major(pivot) 17:C major(pivot)");
  EXPECT_EQ(regions_of(analysed(verse + "[Bridge]\n| Am | E7 | Am | E7 |\n| F | Dm | E7 | G |\n" + verse)),
            "1:C major 9:A minor(pivot) 17:C major(pivot)");
  EXPECT_EQ(regions_of(analysed(verse + "[Chorus]\n| F | C | G | C |\n| F | C | G | G |\n" + verse)), "1:C major");
  EXPECT_EQ(regions_of(analysed(verse + "[Bridge]\n| Am | F | C | G |\n| Am | F | G | G |\n" + verse)), "1:C major");
  EXPECT_EQ(regions_of(analysed(verse + "[Chorus]\n| F | G | C | Am |\n| F | G | C | C |\n" + verse)), "1:C major");
}

TEST(TransposedRepeats, AreMeasuredFromTheFirstAppearance) {
  const HeardPiece piece(timeline(*parse_progression("C Am F G C Am F G D Bm G A D Bm G A", "t"), {}));
  const auto repeats = find_transposed_repeats(piece);
  EXPECT_EQ(repeats[0].shift, -1);
  EXPECT_EQ(repeats[4].shift, 0);
  EXPECT_TRUE(repeats[4].begins);
  EXPECT_EQ(repeats[8].shift, 2);
  EXPECT_EQ(repeats[12].shift, 2);  // and not 0, though the same stands four bars before
  EXPECT_EQ(repeats[8].different_chords, 4);
  EXPECT_EQ(find_shifts(repeats), (std::vector<int>{0, 0, 0, 0, 0, 0, 0, 0, 2, 2, 2, 2, 2, 2, 2, 2}));
}

TEST(TransposedRepeats, ShortAndSilentPieces) {
  EXPECT_TRUE(find_shifts({}).empty());
  const HeardPiece two(timeline(*parse_progression("C G", "t"), {}));
  EXPECT_EQ(find_shifts(find_transposed_repeats(two)), (std::vector<int>{0, 0}));
  EXPECT_EQ(key_regions(analysed("| N.C. | N.C. |")).size(), 1U);
}

// A minor key is known by its own V and by where the music begins and ends (Open Music Theory, minor keys; common
// practice); a loop that begins on vi is heard in both, and the reason is said elsewhere.
TEST(KeyFinding, RelativePairs) {
  const auto key_of = [](const std::string& text) { return to_string(analysed(text).keys.main.key); };
  EXPECT_EQ(key_of("Em C G D Em C D Em"), "E minor");
  EXPECT_EQ(key_of("Cm7 F7 Bbmaj7 Ebmaj7 Am7b5 D7 Gm"), "G minor");
  EXPECT_EQ(key_of("F#m D A E F#m D Bm C#7"), "F# minor");
  EXPECT_EQ(key_of("C Am F G C Am F G"), "C major");
  EXPECT_EQ(key_of("C E7 Am F C E7 F G C C"), "C major");
}

// A chorus of jazz closes in its key; the turnaround after that only leads back to a first chord elsewhere. With
// triads, as songs have them, it is no close (common practice, no source).
TEST(KeyFinding, AChorusClosesInItsKeyBeforeTheTurnaround) {
  const auto key_of = [](const std::string& text) { return to_string(analysed(text).keys.main.key); };
  EXPECT_EQ(key_of("Am7 Am7 Dm7 G7 Cmaj7 Cmaj7 Bm7b5 E7 Am7 Am7 Dm7 G7 Dm7 G7 C6 E7"), "C major");
  const std::string line = "| Am6 | Am6 | Am6 | Am6 | D7 | G7 | ";
  EXPECT_EQ(key_of(line + "C6 | E7 " + line + "C6 | E7 |"), "C major");
  EXPECT_EQ(key_of(line + "C6 | E7 " + line + "Cmaj7 | Bm7b5 E7 |"), "C major");
  EXPECT_EQ(key_of(line + "C6 | E7 " + line + "C6 | Cmaj7 | E7 | E7 |"), "C major");
  EXPECT_EQ(key_of(line + "C | E7 " + line + "C | E7 |"), "A minor");
  EXPECT_EQ(key_of(line + "C6 | E7 | Am6 | Am6 | Am6 | Am6 | B7 | E7 | Am6 | E7 |"), "A minor");
}

}  // namespace
}  // namespace romanesca
