#include "theory/voicing/hand_shapes.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <sstream>

#include "theory/voicing/voice_leading.h"

namespace romanesca {
namespace {

Key major_on(int fifths) { return {PitchClass(fifths), Mode::major}; }

/// Three chords in C, moved to a key.
std::vector<Chord> moved(const std::vector<std::string>& symbols, Interval by) {
  std::vector<Chord> chords;
  for (const std::string& symbol : symbols) chords.push_back(*parse_chord(symbol) + by);
  return chords;
}

/// "F A C E" moved to a key.
std::string moved(const std::string& names, Interval by) {
  std::istringstream words(names);
  std::string text;
  for (std::string name; words >> name;) text += to_string(*parse_pitch_class(name) + by) + " ";
  return text;
}

std::string names_of(const Voicing& voicing) {
  std::string text;
  for (const Pitch& note : voicing) text += to_string(note.name()) + " ";
  return text;
}

/// A row of a textbook: a cadence in C, and its shapes when it begins in one position or the other.
struct ShapeRow {
  std::vector<std::string> symbols;
  std::vector<std::string> first, second;
  bool minor = false;
};

// Left-hand voicings of II-V-I as Levine, "The Jazz Piano Book", 1989, chapter 7, and other methods have them (from
// memory): A B A or B A B, in twelve keys. With G13 only one note moves from II to V.
TEST(RootlessShapes, TwoFiveOneInTwelveKeys) {
  const std::vector<ShapeRow> rows{
      {{"Dm7", "G7", "Cmaj7"}, {"F A C E", "F A B D", "E G B D"}, {"C E F A", "B D F A", "B D E G"}},
      {{"Dm9", "G13", "Cmaj9"}, {"F A C E", "F A B E", "E G B D"}, {"C E F A", "B E F A", "B D E G"}},
      {{"Dm7", "G7b9", "C6/9"}, {"F A C E", "F Ab B D", "E G A D"}, {"C E F A", "B D F Ab", "A D E G"}},
      {{"Dm7b5", "G7alt", "Cm6"}, {"F Ab C D", "F A# B D#", "Eb G A D"}, {"C D F Ab", "B D# F A#", "A D Eb G"}, true},
      {{"Dm7b5", "G7b9", "Cm(maj7)"}, {"F Ab C D", "F Ab B D", "Eb G B D"}, {"C D F Ab", "B D F Ab", "B D Eb G"}, true},
  };
  int firsts = 0;
  for (const ShapeRow& row : rows) {
    for (int key = -6; key <= 5; ++key) {
      const Interval by = Interval::simple(key);
      const std::vector<Chord> chords = moved(row.symbols, by);
      const std::vector<Key> keys(3, Key{PitchClass(key), row.minor ? Mode::minor : Mode::major});
      const auto shapes = lead_shapes(chords, VoicingKind::rootless, keys, usual_span, false);
      const bool first = names_of(shapes[0].left) == moved(row.first[0], by);
      firsts += first ? 1 : 0;
      for (std::size_t i = 0; i < 3; ++i) {
        EXPECT_EQ(names_of(shapes[i].left), moved(first ? row.first[i] : row.second[i], by)) << to_string(chords[i]);
        EXPECT_TRUE(shapes[i].right.empty());
      }
    }
  }
  EXPECT_GT(firsts, 10);  // both positions occur
  EXPECT_LT(firsts, 50);
}

// Third and seventh between E3 and E5, for every chord and key.
TEST(RootlessShapes, KeepThirdAndSeventhInRange) {
  for (const ChordTypeRow& row : chord_type_rows()) {
    for (int root = -6; root <= 5; ++root) {
      const Chord chord = Chord::on(PitchClass(root), row.type);
      if (!third_of(chord) || !seventh_of(chord)) continue;
      for (const VoicingKind kind : {VoicingKind::rootless, VoicingKind::two_hand}) {
        for (const HandShape& shape : hand_shapes(chord, kind, major_on(0), usual_span)) {
          Voicing notes = shape.left;
          notes.insert(notes.end(), shape.right.begin(), shape.right.end());
          for (const Pitch& note : notes) {
            if (note.name() != chord.root + *third_of(chord) && note.name() != chord.root + *seventh_of(chord))
              continue;
            EXPECT_GE(note.midi(), 52) << row.name << ": " << names_of(notes);
            EXPECT_LE(note.midi(), 76) << row.name << ": " << names_of(notes);
          }
        }
      }
    }
  }
}

// Shells of II-V-I: the guide tones cross from third to seventh and back (common practice of jazz teaching, no source).
TEST(Shells, TwoFiveOneInTwelveKeys) {
  for (int key = -6; key <= 5; ++key) {
    const Interval by = Interval::simple(key);
    VoicingRules rules;
    rules.kind = VoicingKind::shell;
    rules.range = guide_tone_range;
    const auto led = lead_voices(moved({"Dm7", "G7", "Cmaj7"}, by), rules);
    const bool third_low = names_of(led.right[0]) == moved("F C", by);
    const std::vector<std::string> first{"F C", "F B", "E B"};
    const std::vector<std::string> second{"C F", "B F", "B E"};
    for (std::size_t i = 0; i < 3; ++i) {
      EXPECT_EQ(names_of(led.right[i]), moved(third_low ? first[i] : second[i], by));
    }
  }
}

// Root and seventh, or root and third, in the left hand; what the right hand has over each (common practice of jazz
// teaching, no source).
TEST(TwoHandShapes, TwoFiveOneInTwelveKeys) {
  const std::vector<std::string> over_seventh{"D C F A E ", "G F B E A ", "C B E G D "};
  const std::vector<std::string> over_third{"D F C E A ", "G B F A E ", "C E B D G "};
  for (int key = -6; key <= 5; ++key) {
    const Interval by = Interval::simple(key);
    const std::vector<Key> keys(3, major_on(key));
    const auto shapes = lead_shapes(moved({"Dm9", "G13", "Cmaj9"}, by), VoicingKind::two_hand, keys, usual_span, false);
    for (std::size_t i = 0; i < 3; ++i) {
      const std::string names = names_of(shapes[i].left) + names_of(shapes[i].right);
      const bool seventh_low = names_of(shapes[0].left) + names_of(shapes[0].right) == moved(over_seventh[0], by);
      const bool expects_seventh = seventh_low == (i != 1);
      EXPECT_EQ(names, moved(expects_seventh ? over_seventh[i] : over_third[i], by));
      EXPECT_EQ(shapes[i].left.size(), 2U);
    }
  }
}

// Drop 2 of a seventh chord in its four inversions, low to high (any textbook of arranging; from memory).
TEST(OpenShapes, DropTwoOfASeventhChord) {
  const std::vector<std::string> rows{"C G B E", "E B C G", "G C E B", "B E G C"};
  VoicingRules rules;
  rules.kind = VoicingKind::open;
  rules.range = {48, 84};
  rules.span = 16;
  for (int root = -6; root <= 5; ++root) {
    const Interval by = Interval::simple(root);
    std::vector<std::string> expected;
    for (const std::string& row : rows) expected.push_back(moved(row, by));
    std::vector<std::string> found;
    for (const Voicing& voicing : voicings(*parse_chord("Cmaj7") + by, rules)) {
      const std::string names = names_of(voicing);
      EXPECT_NE(std::find(expected.begin(), expected.end(), names), expected.end()) << names;
      found.push_back(names);
    }
    for (const std::string& row : expected) EXPECT_NE(std::find(found.begin(), found.end(), row), found.end()) << row;
  }
}

// With the chord's bass lowest: drop 2 and drop 3, the lower two notes in the left hand.
TEST(OpenShapes, BassLowest) {
  const auto all = [](const char* symbol) {
    std::string text;
    for (const HandShape& shape : hand_shapes(*parse_chord(symbol), VoicingKind::open, major_on(0), usual_span)) {
      const std::string names = names_of(shape.left) + "| " + names_of(shape.right);
      if (text.find(names) == std::string::npos) text += names + "; ";
    }
    return text;
  };
  EXPECT_EQ(all("Cmaj7"), "C G | B E ; C B | E G ; ");
  EXPECT_EQ(all("Dm7/F"), "F C | D A ; F D | A C ; ");
  EXPECT_EQ(all("C"), "C | G E ; ");
  EXPECT_EQ(all("C/E"), "E | C G ; ");
}

/// The cheapest way by trying all.
int cheapest(const std::vector<Chord>& chords, VoicingKind kind, std::size_t from, const HandShape* before) {
  if (from == chords.size()) return 0;
  int best = 1 << 30;
  for (const HandShape& shape : hand_shapes(chords[from], kind, major_on(0), usual_span)) {
    const int step = before == nullptr ? 0 : movement(upper_voices(*before), upper_voices(shape));
    best = std::min(best, step + cheapest(chords, kind, from + 1, &shape));
  }
  return best;
}

// The upper voices move as little as they can, up to the semitone that a leap of the bass may outweigh.
TEST(HandShapes, MoveLittle) {
  const std::vector<Chord> chords = moved({"Dm9", "G13", "Cmaj9", "A7b9"}, Interval());
  for (const VoicingKind kind : {VoicingKind::rootless, VoicingKind::two_hand, VoicingKind::open}) {
    const auto shapes = lead_shapes(chords, kind, std::vector<Key>(4, major_on(0)), usual_span, false);
    int moves = 0;
    for (std::size_t i = 1; i < shapes.size(); ++i)
      moves += movement(upper_voices(shapes[i - 1]), upper_voices(shapes[i]));
    const int least = cheapest(chords, kind, 0, nullptr);
    EXPECT_GE(moves, least);
    EXPECT_LE(moves, least + 2) << to_string(kind);
  }
}

TEST(DegreeNames, OfWhatHandsPlay) {
  const auto degrees = [](const char* symbol, const char* notes) {
    std::istringstream words(notes);
    std::string text;
    for (std::string note; words >> note;) text += degree_name(*parse_chord(symbol), *parse_pitch_class(note)) + " ";
    return text;
  };
  EXPECT_EQ(degrees("C13", "E A Bb D"), "3 13 7 9 ");
  EXPECT_EQ(degrees("C7alt", "E G# Bb D#"), "3 #5 7 #9 ");
  EXPECT_EQ(degrees("Cm7b5", "C Eb Gb Bb"), "1 3 b5 7 ");
  EXPECT_EQ(degrees("C7b9", "Db F#"), "b9 4 ");
  EXPECT_EQ(degrees("Dm7", "E"), "9 ");
  EXPECT_EQ(degrees("C7#11", "F#"), "#11 ");
}

}  // namespace
}  // namespace romanesca
