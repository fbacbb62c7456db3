#include "theory/chords/chord.h"

#include <gtest/gtest.h>

#include <numeric>
#include <set>

#include "tests/sweep.h"
#include "theory/chords/chord_suffix.h"

namespace romanesca {
namespace {

std::string tones_of(const std::string& symbol) {
  const auto chord = parse_chord(symbol);
  if (!chord) return "none";
  std::string text;
  for (const PitchClass tone : chord->tones()) text += (text.empty() ? "" : " ") + to_string(tone);
  return text;
}

// Every row of the table: its symbol means its tones, no two rows are alike, tones rise.
TEST(ChordTypes, EveryRowOfTheTable) {
  std::set<std::uint32_t> masks;
  std::set<std::string> symbols;
  ASSERT_GT(chord_type_rows().size(), 50U);
  for (const ChordTypeRow& row : chord_type_rows()) {
    EXPECT_TRUE(masks.insert(row.type.mask()).second) << row.name;
    EXPECT_TRUE(symbols.insert(row.symbol).second) << row.symbol;
    EXPECT_EQ(parse_chord_suffix(row.symbol), row.type) << row.symbol;
    EXPECT_EQ(write_chord_suffix(row.type), row.symbol);
    const auto tones = row.type.tones();
    EXPECT_EQ(std::vector<Interval>(tones.begin(), tones.end()), row.tones) << row.symbol;
    EXPECT_FALSE(row.name.empty());
    for (std::size_t i = 1; i < row.tones.size(); ++i)
      EXPECT_GT(row.tones[i].semitones(), row.tones[i - 1].semitones());
  }
}

// Written forms of songbooks (common practice, no source), with their letters.
TEST(Chord, Letters) {
  EXPECT_EQ(tones_of("C"), "C E G");
  EXPECT_EQ(tones_of("Cb7"), "Cb Eb Gb Bbb");
  EXPECT_EQ(tones_of("F#m7b5"), "F# A C E");
  EXPECT_EQ(tones_of("Bdim7"), "B D F Ab");
  EXPECT_EQ(tones_of("C6/9"), "C E G A D");
  EXPECT_EQ(tones_of("C7sus4"), "C F G Bb");
  EXPECT_EQ(tones_of("C9sus4"), "C F G Bb D");
  EXPECT_EQ(tones_of("Csus2"), "C D G");
  EXPECT_EQ(tones_of("C13"), "C E G Bb D A");
  EXPECT_EQ(tones_of("C7#9"), "C E G Bb D#");
  EXPECT_EQ(tones_of("Cm(maj7)"), "C Eb G B");
  EXPECT_EQ(tones_of("C5"), "C G");
  EXPECT_EQ(tones_of("Cadd9"), "C E G D");
  EXPECT_EQ(tones_of("C7(b9,b13)"), "C E G Bb Db Ab");
  EXPECT_EQ(tones_of("Db/F"), "Db F Ab");
}

TEST(Chord, ManyWaysToWriteTheSame) {
  const std::vector<std::vector<std::string>> families{
      {"Cmaj7", "CM7", "Cma7", "Cj7", "CΔ", "CΔ7", "Cmajor7"},
      {"Cm", "Cmin", "Cmi", "C-", "Cminor"},
      {"Cm7", "Cmin7", "Cmi7", "C-7"},
      {"Cdim", "Co", "C°"},
      {"Cdim7", "Co7", "C°7"},
      {"Cm7b5", "Cø", "Cø7", "C07", "C-7b5", "Cm7-5", "Cm7(b5)", "Chalf-dim"},
      {"Caug", "C+", "C#5", "C(#5)", "C+5"},
      {"C7#5", "C+7", "Caug7", "C7+5"},
      {"Csus4", "Csus"},
      {"C7sus4", "C7sus", "Csus7"},
      {"C9sus4", "C9sus", "C7sus4(9)"},
      {"C6/9", "C69", "C6add9"},
      {"Cadd9", "Cadd2", "C(add9)", "C2", "C/9"},
      {"C7b9", "C7-9", "C7(b9)", "C7[b9]"},
      {"C7#9", "C7+9"},
      {"Cm(maj7)", "CmM7", "Cmmaj7", "C-Δ7", "Cm/maj7"},
      {"Cmaj7#11", "CM7#11", "CΔ#11", "Cmaj7(#11)"},
  };
  for (std::size_t i = 0; i + 1 < families.size() + 1; ++i) {
    for (const std::string& form : families[i]) {
      if (form == "C#5") continue;  // that is the power chord on C sharp
      const auto chord = parse_chord(form);
      ASSERT_TRUE(chord) << form;
      EXPECT_EQ(to_string(*chord), families[i].front()) << form;
    }
  }
  EXPECT_EQ(tones_of("C#5"), "C# G#");
  EXPECT_EQ(tones_of("Cb5"), "Cb Gb");
}

TEST(Chord, RefusesWhatIsNoChord) {
  for (const char* text :
       {"",     "H",   "Hm7",  "c",    "Cmm", "C(",   "C)",  "C7(b9",          "C/H",       "C//G", "Csusx",
        "Cadd", "Cno", "C7 9", "Cm7b", "C7#", "maj7", "C99", "C(no1,no3,no5)", "Cmaj7maj7x"}) {
    EXPECT_FALSE(parse_chord(text)) << text;
  }
}

TEST(Chord, Inversions) {
  EXPECT_EQ(parse_chord("C")->inversion(), 0);
  EXPECT_EQ(parse_chord("C/E")->inversion(), 1);
  EXPECT_EQ(parse_chord("C/G")->inversion(), 2);
  EXPECT_EQ(parse_chord("C7/Bb")->inversion(), 3);
  EXPECT_FALSE(parse_chord("C/D")->inversion());
}

// Every type that can be written with up to two modifiers, on every root, comes back from its own print.
TEST(Chord, ParsePrintRoundTrip) {
  const char* bases[] = {"",     "m", "dim", "aug", "7",  "maj7", "m7",    "m7b5",
                         "dim7", "6", "m6",  "9",   "13", "sus4", "7sus4", "11"};
  const char* modifiers[] = {"", "b5", "#5", "b9", "#9", "#11", "b13", "add9", "add11", "add13", "no3", "no5", "sus2"};
  std::vector<int> roots(17);
  std::iota(roots.begin(), roots.end(), -8);
  int seen = 0;
  for (const char* base : bases) {
    for (const char* first : modifiers) {
      for (const char* second : modifiers) {
        std::string suffix = base;
        for (const char* modifier : {first, second}) {
          if (*modifier != '\0') suffix += "(" + std::string(modifier) + ")";
        }
        const auto type = parse_chord_suffix(suffix);
        ASSERT_TRUE(type) << suffix;
        for (const int fifths : test::tried(roots, static_cast<std::size_t>(seen))) {
          for (const Interval bass : {intervals::unison, intervals::major_third, intervals::minor_seventh}) {
            const Chord chord{PitchClass(fifths), *type, PitchClass(fifths) + bass};
            const auto again = parse_chord(to_string(chord));
            ASSERT_TRUE(again) << suffix << " prints as " << to_string(chord);
            EXPECT_EQ(*again, chord) << suffix << " prints as " << to_string(chord);
          }
        }
        ++seen;
      }
    }
  }
  EXPECT_EQ(seen, 16 * 13 * 13);
}

}  // namespace
}  // namespace romanesca
