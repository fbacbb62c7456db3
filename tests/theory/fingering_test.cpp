#include "theory/voicing/fingering.h"

#include <gtest/gtest.h>

#include <random>

#include "theory/voicing/voice_leading.h"

namespace romanesca {
namespace {

Voicing keys(std::initializer_list<const char*> names) {
  Voicing voicing;
  for (const char* name : names) voicing.push_back(*parse_pitch(name));
  return voicing;
}

std::string digits(const Fingers& fingers) {
  std::string text;
  for (const int finger : fingers) text += static_cast<char>('0' + finger);
  return text;
}

/// The close position of a chord with this tone lowest.
Voicing inverted(const Chord& chord, std::size_t inversion) {
  const auto tones = chord.tones();
  Voicing voicing{lowest_at_or_above(tones[inversion], 55)};
  for (std::size_t i = 1; i < tones.size(); ++i) {
    voicing.push_back(lowest_at_or_above(tones[(inversion + i) % tones.size()], voicing.back().midi()));
  }
  return voicing;
}

struct FingeringRow {
  const char* type;
  std::vector<std::string> right, left;  // for each inversion
};

// Triads and seventh chords in all inversions, in twelve keys, as method books and the books of examination boards
// have them (from memory). An augmented triad looks like a root position however it is turned. Of seventh chords the
// boards print 1 2 3 5, and 1 2 4 5 where the root lies a second above the seventh; left hand likewise.
TEST(FingeringTable, TriadsAndSeventhsInTwelveKeys) {
  const std::vector<FingeringRow> rows{
      {"", {"135", "125", "135"}, {"531", "531", "521"}},
      {"m", {"135", "125", "135"}, {"531", "531", "521"}},
      {"dim", {"135", "125", "135"}, {"531", "531", "521"}},
      {"aug", {"135", "135", "135"}, {"531", "531", "531"}},
      {"7", {"1235", "1245", "1235", "1235"}, {"5321", "5321", "5321", "5421"}},
      {"maj7", {"1235", "1245", "1235", "1235"}, {"5321", "5321", "5321", "5421"}},
      {"m7", {"1235", "1245", "1235", "1235"}, {"5321", "5321", "5321", "5421"}},
      {"m7b5", {"1235", "1245", "1235", "1235"}, {"5321", "5321", "5321", "5421"}},
      {"dim7", {"1235", "1235", "1235", "1235"}, {"5321", "5321", "5321", "5321"}},
  };
  for (const FingeringRow& row : rows) {
    for (int root = -6; root <= 5; ++root) {
      const Chord chord = *parse_chord(to_string(PitchClass(root)) + row.type);
      for (std::size_t i = 0; i < row.right.size(); ++i) {
        const Voicing voicing = inverted(chord, i);
        EXPECT_EQ(digits(fingers_of(voicing, Hand::right)), row.right[i]) << to_string(chord) << " inversion " << i;
        EXPECT_EQ(digits(fingers_of(voicing, Hand::left)), row.left[i]) << to_string(chord) << " inversion " << i;
      }
    }
  }
}

// Other shapes of the table's comment: V7 without its fifth as method books have it (from memory), suspensions,
// octaves, and intervals within the five-finger position.
TEST(FingeringTable, OtherShapes) {
  EXPECT_EQ(digits(fingers_of(keys({"B3", "F4", "G4"}), Hand::right)), "145");
  EXPECT_EQ(digits(fingers_of(keys({"B2", "F3", "G3"}), Hand::left)), "521");
  EXPECT_EQ(digits(fingers_of(keys({"C4", "F4", "G4"}), Hand::right)), "145");
  EXPECT_EQ(digits(fingers_of(keys({"C4", "D4", "G4"}), Hand::right)), "125");
  EXPECT_EQ(digits(fingers_of(keys({"C3", "G3", "C4"}), Hand::left)), "521");
  EXPECT_EQ(digits(fingers_of(keys({"C4", "E4"}), Hand::right)), "13");
  EXPECT_EQ(digits(fingers_of(keys({"C4", "F4"}), Hand::right)), "14");
  EXPECT_EQ(digits(fingers_of(keys({"C3", "G3"}), Hand::left)), "51");
  EXPECT_EQ(digits(fingers_of(keys({"C3"}), Hand::left)), "5");
  EXPECT_EQ(digits(fingers_of(keys({"C4", "D4", "E4", "G4", "A4"}), Hand::right)), "12345");
}

// Every chord type, in every inversion and key: the table's fingers rise, can be played, do not depend on the key, and
// the left hand's are the mirror of the right hand's on the mirrored shape.
TEST(FingeringTable, HoldsForEveryChordInversionAndKey) {
  int shapes = 0;
  for (const ChordTypeRow& row : chord_type_rows()) {
    for (const Voicing& first : close_positions(right_hand_tones(Chord::on(PitchClass(0), row.type)), {55, 79})) {
      const std::string expected = digits(usual_fingers(first, Hand::right));
      Voicing mirrored;
      for (auto note = first.rbegin(); note != first.rend(); ++note)
        mirrored.push_back(lowest_at_or_above(PitchClass(7 * (120 - note->midi())), 120 - note->midi()));
      for (int up = 0; up < 12; ++up) {
        Voicing voicing;
        for (const Pitch& note : first)
          voicing.push_back(lowest_at_or_above(PitchClass(note.name().fifths() + 7 * up), note.midi() + up));
        ++shapes;
        const Fingers right = fingers_of(voicing, Hand::right);
        EXPECT_EQ(digits(right), expected) << row.name << " " << up;
        EXPECT_TRUE(strain(voicing, right, Hand::right)) << row.name;
        EXPECT_TRUE(std::is_sorted(right.begin(), right.end()));
        EXPECT_TRUE(strain(voicing, fingers_of(voicing, Hand::left), Hand::left)) << row.name;
      }
      if (first.size() == 1) continue;  // the thumb on the right, the little finger on the left
      std::string reversed = digits(fingers_of(mirrored, Hand::left));
      std::reverse(reversed.begin(), reversed.end());
      EXPECT_EQ(reversed, expected) << row.name;
    }
  }
  EXPECT_GT(shapes, 2000);
}

// From memory of the paper: thumb and fifth finger reach ten semitones at ease, fifteen at most; second and third four
// at most. Fingers never cross.
TEST(Fingering, Strain) {
  EXPECT_FALSE(strain(keys({"C4", "E4"}), {2, 2}, Hand::right));  // one finger is not two
  EXPECT_EQ(strain(keys({"C4", "E4", "G4"}), {1, 3, 5}, Hand::right), 0);
  EXPECT_FALSE(strain(keys({"C4", "G4"}), {2, 3}, Hand::right));
  EXPECT_FALSE(strain(keys({"C4", "E5"}), {1, 5}, Hand::right));
  EXPECT_TRUE(strain(keys({"C4", "D5"}), {1, 5}, Hand::right));
  EXPECT_FALSE(strain(keys({"C4", "E4", "G4"}), {5, 3, 1}, Hand::right));
  EXPECT_EQ(strain(keys({"C3", "E3", "G3"}), {5, 3, 1}, Hand::left), 0);
  EXPECT_FALSE(strain(keys({"C4", "E4"}), {1}, Hand::right));
}

// Fingers follow the shape, not the keys that stay from the chord before.
TEST(Fingering, SameShapeSameFingers) {
  const std::vector<Voicing> chords{keys({"C4", "E4", "G4"}), keys({"C4", "E4", "A4"}), keys({"C4", "E4", "G4"})};
  const auto fingers = fingers_for(chords, Hand::right);
  EXPECT_EQ(digits(fingers[0]), "135");
  EXPECT_EQ(digits(fingers[1]), "125");
  EXPECT_EQ(fingers[0], fingers[2]);
  EXPECT_TRUE(fingers_for(std::vector<Voicing>{{}}, Hand::right).front().empty());
}

// Where the usual fingers cannot reach, others do: 2 and 3 cannot hold a seventh.
TEST(Fingering, OthersWhereTheUsualOnesCannotReach) {
  const Voicing wide = keys({"C4", "D4", "B4", "C5"});
  EXPECT_FALSE(strain(wide, {1, 2, 3, 5}, Hand::right));
  for (int width = 1; width <= widest_span - 1; ++width) {
    const Voicing outer{*parse_pitch("C4"), lowest_at_or_above(PitchClass(7 * width), 60 + width)};
    EXPECT_FALSE(fingers_of(outer, Hand::right).empty()) << width;
  }
}

}  // namespace
}  // namespace romanesca
