#include "theory/chords/numeral.h"

#include <gtest/gtest.h>

#include "tests/sweep.h"
#include "theory/chords/numeral_text.h"

namespace romanesca {
namespace {

std::string in_key(const std::string& numeral, const std::string& key) {
  const auto read = parse_roman(numeral);
  const auto where = parse_key(key);
  if (!read || !where) return "none";
  return to_string(realise(*read, {where->tonic, where->mode.value_or(Mode::major)}));
}

// RomanText forms (Tymoczko, Gotham, Cuthbert & Ariza, ISMIR 2019) and textbook meanings (Kostka & Payne, from memory).
TEST(Numeral, MeansItsChord) {
  EXPECT_EQ(in_key("I", "Eb"), "Eb");
  EXPECT_EQ(in_key("V65/V", "C"), "D7/F#");
  EXPECT_EQ(in_key("viio7", "C minor"), "Bdim7");
  EXPECT_EQ(in_key("viio7/V", "C"), "F#dim7");
  EXPECT_EQ(in_key("bVI", "C"), "Ab");
  EXPECT_EQ(in_key("bVII", "G"), "F");
  EXPECT_EQ(in_key("iiø65", "C minor"), "Dm7b5/F");
  EXPECT_EQ(in_key("ii/o7", "C minor"), "Dm7b5");
  EXPECT_EQ(in_key("III+", "A minor"), "Caug");
  EXPECT_EQ(in_key("V42", "F"), "C7/Bb");
  EXPECT_EQ(in_key("V2", "F"), "C7/Bb");
  EXPECT_EQ(in_key("I64", "C"), "C/G");
  EXPECT_EQ(in_key("N6", "C"), "Db/F");
  EXPECT_EQ(in_key("Cad64", "A minor"), "Am/E");
  EXPECT_EQ(in_key("V/V/V", "C"), "A");
  EXPECT_EQ(in_key("Imaj7", "Bb"), "Bbmaj7");
  EXPECT_EQ(in_key("I7", "Bb"), "Bb7");
  EXPECT_EQ(in_key("V7sus4", "C"), "G7sus4");
  EXPECT_EQ(in_key("Iadd9", "D"), "Dadd9");
  EXPECT_EQ(in_key("I6/9", "C"), "C6/9");
  EXPECT_EQ(in_key("IV/5", "C"), "F/G");
  EXPECT_EQ(in_key("#iv°7", "C"), "F#dim7");
}

TEST(Numeral, AugmentedSixths) {
  const auto notes = [](const char* numeral) {
    std::string text;
    const Chord chord = realise(*parse_roman(numeral), {PitchClass(0), Mode::major});
    for (const PitchClass tone : chord.tones()) text += to_string(tone) + " ";
    return text + "over " + to_string(chord.bass);
  };
  EXPECT_EQ(notes("It6"), "Ab C F# over Ab");
  EXPECT_EQ(notes("Fr43"), "Ab C D F# over Ab");
  EXPECT_EQ(notes("Ger65"), "Ab C Eb F# over Ab");
}

// Both ways of writing the lowered degrees are read; vi and vii stand on the raised ones.
TEST(Numeral, DegreesOfMinor) {
  for (const char* numeral : {"VI", "bVI"}) EXPECT_EQ(in_key(numeral, "A minor"), "F") << numeral;
  for (const char* numeral : {"VII", "bVII"}) EXPECT_EQ(in_key(numeral, "A minor"), "G") << numeral;
  for (const char* numeral : {"III", "bIII"}) EXPECT_EQ(in_key(numeral, "A minor"), "C") << numeral;
  for (const char* numeral : {"viio", "#viio"}) EXPECT_EQ(in_key(numeral, "A minor"), "G#dim") << numeral;
  EXPECT_EQ(in_key("vi", "A minor"), "F#m");
  EXPECT_EQ(in_key("bvi", "A minor"), "Fm");
  EXPECT_EQ(in_key("#VI", "A minor"), "F#");
}

TEST(Numeral, MinorIsWrittenInEitherStyle) {
  const Key a{PitchClass(3), Mode::minor};
  const Chord f = *parse_chord("F");
  EXPECT_EQ(to_string(numeral_of(f, a)), "bVI");
  EXPECT_EQ(to_string(numeral_of(f, a, MinorDegrees::from_natural)), "VI");
  EXPECT_EQ(to_string(numeral_of(*parse_chord("F#m"), a, MinorDegrees::from_natural)), "vi");
  EXPECT_EQ(to_string(numeral_of(*parse_chord("G#dim"), a, MinorDegrees::from_natural)), "viio");
}

TEST(Numeral, Numbers) {
  const auto number = [](const char* text) {
    return to_string(realise(*parse_number(text), {PitchClass(1), Mode::major}));
  };
  EXPECT_EQ(number("1"), "G");
  EXPECT_EQ(number("6m"), "Em");
  EXPECT_EQ(number("b7"), "F");
  EXPECT_EQ(number("5/7"), "D/F#");
  EXPECT_EQ(number("2m7"), "Am7");
  EXPECT_EQ(number("47"), "C7");
}

// Brackets change a chord by tones of the key, and the bass moves up to what is left (values: music21's RomanNumeral as
// the figures of When in Rome, Gotham et al., are read by it).
TEST(Numeral, TonesInBracketsAreThoseOfTheKey) {
  const auto notes = [](const char* numeral, const char* key) {
    const auto where = parse_key(key);
    const Chord chord = realise(*parse_roman(numeral), {where->tonic, where->mode.value_or(Mode::major)});
    std::string text;
    for (const PitchClass tone : chord.tones()) text += to_string(tone) + " ";
    return text + "over " + to_string(chord.bass);
  };
  EXPECT_EQ(notes("V7[add9]", "A minor"), "E G# B D F over E");
  EXPECT_EQ(notes("V7[add9]/ii", "C"), "A C# E G Bb over A");
  EXPECT_EQ(notes("V[no5][add6]", "A minor"), "E G# C over E");
  EXPECT_EQ(notes("I[add7]", "C"), "C E G B over C");
  EXPECT_EQ(notes("iv6[no1][add2]", "C"), "Ab C G over Ab");
  EXPECT_EQ(notes("V6[no3][add4]", "C"), "G C D over C");
  EXPECT_EQ(notes("V54", "C"), "G C D over G");
  for (const char* text : {"V7[add9]/ii", "V[no5][add6]", "i[add#7]", "iv6[no1][add2]"}) {
    EXPECT_EQ(to_string(*parse_roman(text)), text);
  }
  EXPECT_EQ(to_string(*parse_roman("ii6[no1][sus4]")), "ii6(sus4)[no1]");  // this and the next found by the fuzzer
  EXPECT_EQ(to_string(*parse_roman("V6(add9)/ii")), "V6(add9)/ii");
  EXPECT_EQ(to_string(*parse_roman("Vadd9/ii/7")), "Vadd9/ii/7");
}

// Over its seventh a plain triad is the seventh chord's last inversion.
TEST(Numeral, TriadOverItsSeventh) {
  const Key e_flat{PitchClass(-3), Mode::major};
  EXPECT_EQ(to_string(numeral_of(*parse_chord("Bb/Ab"), e_flat)), "V42");
  EXPECT_EQ(to_string(numeral_of(*parse_chord("Eb/D"), e_flat)), "Imaj42");
  EXPECT_EQ(to_string(numeral_of(*parse_chord("Cm/Bb"), e_flat)), "vi42");
  EXPECT_EQ(to_string(numeral_of(*parse_chord("Ab/Bb"), e_flat)), "IV/5");
}

TEST(Numeral, Refuses) {
  for (const char* text : {"", "IIX", "VV", "VIII", "iX", "I/", "V/X", "V//V", "I64x", "bbbI", "o7", "V65/V/", "I43[",
                           "IV/8", "ia7", "ivaj6", "vin7"}) {
    EXPECT_FALSE(parse_roman(text)) << text;
  }
  for (const char* text : {"", "0", "8", "1x", "5/", "5/8", "m6", "b"}) EXPECT_FALSE(parse_number(text)) << text;
}

// Found by the fuzzer: a numeral without a third ("ino3") is written "i5", which was not read.
TEST(Numeral, SmallNumeralsWithoutAThird) {
  for (const char* text : {"i5", "vi5", "#iv5", "i5(addb7)"}) {
    ASSERT_TRUE(parse_roman(text)) << text;
    EXPECT_EQ(to_string(*parse_roman(text)), text);
  }
  EXPECT_EQ(in_key("iomit3", "A minor"), "A5") << "its o is no sign of a diminished chord";
  EXPECT_EQ(in_key("i5", "A minor"), "A5");
  EXPECT_EQ(in_key("vi5", "C"), "A5");
  EXPECT_EQ(in_key("iaug(no3)", "C"), "Caug(no3)");
}

// Capitals with a written quality, as some songbooks have them (common practice, no source), keep it when written.
TEST(Numeral, CapitalsWithAMinorSign) {
  EXPECT_EQ(in_key("IIm7", "C"), "Dm7");
  for (const char* text : {"IIm7", "VIm", "IIIm9", "VIIm7b5"}) {
    ASSERT_TRUE(parse_roman(text)) << text;
    EXPECT_EQ(parse_roman(to_string(*parse_roman(text)))->type, parse_roman(text)->type) << text;
  }
  EXPECT_EQ(to_string(*parse_roman("IIm7")), "IIm7");
}

// A figure with tones beyond its chord stays a figure: a degree in its place would be another note in another key.
TEST(Numeral, FiguresWithFurtherTones) {
  for (const char* text : {"V65(b9)", "I6(add9)", "V42(sus4)", "ii43(no5,add11)", "V+65", "I+maj65", "viiø43(add11)"}) {
    const auto numeral = parse_roman(text);
    ASSERT_TRUE(numeral) << text;
    EXPECT_EQ(to_string(*numeral), text);
  }
  EXPECT_EQ(in_key("V65(b9)", "A minor"), "E7b9/G#");
}

// Every base with up to two modifiers, behind capital and small numerals, with figures, applied and over a degree: what
// is written is read as the same chord again.
TEST(Numeral, RoundTripOfWhatIsTyped) {
  const char* bases[] = {"",   "m",    "o",     "dim", "aug", "+",  "ø",     "7",    "maj7", "m7",   "m7b5", "o7",
                         "ø7", "65",   "43",    "42",  "6",   "64", "maj65", "o65",  "ø43",  "+65",  "m6",   "9",
                         "13", "sus4", "7sus4", "11",  "5",   "69", "add6",  "add9", "sus2", "maj9", "mmaj7"};
  const std::vector<const char*> modifiers{"",     "b5",    "#5",  "b9",  "#9",  "#11",  "b13",
                                           "add9", "add11", "no1", "no3", "no5", "sus2", "sus4"};
  int seen = 0;
  std::size_t turn = 0;
  for (const char* degree : {"I", "vi", "bVI"}) {
    for (const char* base : bases) {
      for (const char* first : modifiers) {
        for (const char* second : test::tried(modifiers, ++turn)) {
          const std::string brackets =
              *first == '\0' ? "" : "(" + std::string(first) + (*second == '\0' ? "" : "," + std::string(second)) + ")";
          for (const char* tail : {"", "/V", "/3"}) {
            const std::string text = degree + std::string(base) + brackets + tail;
            const auto numeral = parse_roman(text);
            if (!numeral) continue;
            ++seen;
            const std::string written = to_string(*numeral);
            const auto again = parse_roman(written);
            ASSERT_TRUE(again) << text << " is written " << written;
            EXPECT_EQ(to_string(*again), written) << text;
            for (const Mode mode : {Mode::major, Mode::minor}) {
              const Key key{PitchClass(0), mode};
              EXPECT_EQ(realise(*again, key), realise(*numeral, key)) << text << " is written " << written;
            }
          }
        }
      }
    }
  }
  EXPECT_GT(seen, test::thorough() ? 20000 : 4000);
}

// Any chord seen from any of the 30 keys, written as a numeral and read again, is the same chord.
TEST(Numeral, RoundTripInEveryKey) {
  const std::vector<Key> keys(written_keys().begin(), written_keys().end());
  for (const Key& key : test::tried(keys)) {
    for (const ChordTypeRow& row : chord_type_rows()) {
      if (row.type.size() < 2) continue;
      for (int from_tonic = -6; from_tonic <= 8; ++from_tonic) {
        const PitchClass root(key.tonic.fifths() + from_tonic);
        for (const Interval tone : row.tones) {
          const Chord chord{root, row.type, root + tone};
          for (const MinorDegrees style : {MinorDegrees::from_major, MinorDegrees::from_natural}) {
            const std::string text = to_string(numeral_of(chord, key, style));
            const auto again = parse_roman(text);
            ASSERT_TRUE(again) << to_string(chord) << " in " << to_string(key) << " is " << text;
            const Chord back = realise(*again, key);
            EXPECT_EQ(back.root, chord.root) << to_string(chord) << " in " << to_string(key) << " is " << text;
            EXPECT_EQ(back.type, chord.type) << to_string(chord) << " in " << to_string(key) << " is " << text;
            // A bass far from the key comes back under a nearer letter.
            EXPECT_TRUE(back.bass.sounds_like(chord.bass))
                << to_string(chord) << " in " << to_string(key) << " is " << text;
          }
        }
      }
    }
  }
}

}  // namespace
}  // namespace romanesca
