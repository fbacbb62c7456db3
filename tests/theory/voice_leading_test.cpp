#include "theory/voice_leading.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <limits>
#include <random>

#include "theory/fingering.h"
#include "theory/hands.h"
#include "theory/progression_text.h"

namespace romanesca {
namespace {

Voicing notes(std::initializer_list<const char*> names) {
  Voicing voicing;
  for (const char* name : names) voicing.push_back(*parse_pitch(name));
  return voicing;
}

TEST(Movement, CountsSemitonesOfAllVoices) {
  EXPECT_EQ(movement(notes({"C4", "E4", "G4"}), notes({"C4", "F4", "A4"})), 3);
  EXPECT_EQ(movement(notes({"C4", "E4", "G4"}), notes({"B3", "E4", "G4"})), 1);
  EXPECT_EQ(movement(notes({"C4", "E4", "G4"}), notes({"C4", "E4", "G4"})), 0);
}

// Tymoczko, "The Geometry of Musical Chords", Science 313, 2006, supporting text: {4,7,11,0} to {4,8,11,3} has size 3,
// by (4,4,7,11,0) to (3,4,8,11,11). Between notes in octaves: E4 G4 B4 C5 to D#4 E4 G#4 B4.
TEST(Movement, PublishedExample) {
  EXPECT_EQ(movement(notes({"E4", "G4", "B4", "C5"}), notes({"D#4", "E4", "G#4", "B4"})), 3);
}

TEST(ClosePositions, HoldTheirTonesWithinTheRange) {
  for (const ChordTypeRow& row : chord_type_rows()) {
    for (int root = -6; root <= 6; ++root) {
      const Chord chord = Chord::on(PitchClass(root), row.type);
      const auto tones = right_hand_tones(chord);
      EXPECT_LE(tones.size(), 4U) << row.name;
      const auto positions = close_positions(tones);
      ASSERT_FALSE(positions.empty()) << row.name;
      for (const Voicing& voicing : positions) {
        EXPECT_EQ(voicing.size(), tones.size());
        EXPECT_GE(voicing.front().midi(), right_hand.lowest);
        EXPECT_LE(voicing.back().midi(), right_hand.highest);
        EXPECT_LE(voicing.back().midi() - voicing.front().midi(), right_hand_span) << row.name;
        for (std::size_t i = 1; i < voicing.size(); ++i) EXPECT_GT(voicing[i].midi(), voicing[i - 1].midi());
        for (const Pitch& note : voicing) EXPECT_NE(std::find(tones.begin(), tones.end(), note.name()), tones.end());
      }
    }
  }
}

/// All ways through the positions, the plain way.
int brute_force(const std::vector<Chord>& chords, std::size_t from, const Voicing* before) {
  if (from == chords.size()) return 0;
  int best = std::numeric_limits<int>::max();
  for (const Voicing& voicing : close_positions(right_hand_tones(chords[from]))) {
    const int here = before == nullptr ? 0 : movement(*before, voicing);
    best = std::min(best, here + brute_force(chords, from + 1, &voicing));
  }
  return best;
}

TEST(VoiceLeading, EqualsBruteForceOnRandomProgressions) {
  std::mt19937 random(20261125);  // the seed is part of the test
  const auto rows = chord_type_rows();
  for (int round = 0; round < 60; ++round) {
    std::vector<Chord> chords;
    const std::size_t length = 2 + random() % 4;
    for (std::size_t i = 0; i < length; ++i) {
      const ChordTypeRow& row = rows[random() % rows.size()];
      chords.push_back(Chord::on(PitchClass(static_cast<int>(random() % 13) - 6), row.type));
    }
    const VoiceLeading led = lead_voices(chords);
    EXPECT_EQ(led.semitones, brute_force(chords, 0, nullptr));
    ASSERT_EQ(led.right.size(), chords.size());
  }
}

// Common practice, no source.
TEST(Fingering, TriadsAndSevenths) {
  const auto right = [](std::initializer_list<const char*> names) { return fingers_for(notes(names), Hand::right); };
  const auto left = [](std::initializer_list<const char*> names) { return fingers_for(notes(names), Hand::left); };
  EXPECT_EQ(right({"C4", "E4", "G4"}), (std::vector{1, 3, 5}));
  EXPECT_EQ(right({"E4", "G4", "C5"}), (std::vector{1, 2, 5}));
  EXPECT_EQ(right({"G4", "C5", "E5"}), (std::vector{1, 3, 5}));
  EXPECT_EQ(right({"C4", "E4", "G4", "B4"}), (std::vector{1, 2, 3, 5}));
  EXPECT_EQ(left({"C3", "E3", "G3"}), (std::vector{5, 3, 1}));
  EXPECT_EQ(left({"E3", "G3", "C4"}), (std::vector{5, 3, 1}));
  EXPECT_EQ(left({"G3", "C4", "E4"}), (std::vector{5, 2, 1}));
  EXPECT_EQ(left({"C3", "E3", "G3", "B3"}), (std::vector{5, 3, 2, 1}));
  EXPECT_EQ(left({"C3"}), (std::vector{5}));
}

TEST(Hands, LieApartAndNameTheInversion) {
  const auto parsed = parse_progression("| C | Am7/G | N.C. | F9 | Bdim |", "t");
  const Timeline line = timeline(*parsed, {});
  const Hands hands = hands_for(line);
  ASSERT_EQ(hands.chords.size(), 5U);
  EXPECT_TRUE(hands.chords[2].right.empty());
  for (std::size_t i = 0; i < hands.chords.size(); ++i) {
    const HandsChord& chord = hands.chords[i];
    if (chord.right.empty()) continue;
    EXPECT_LT(chord.left.back().midi(), chord.right.front().midi());
    EXPECT_EQ(chord.left.front().name(), line.chords[i].chord->bass);
    EXPECT_EQ(chord.right_fingers.size(), chord.right.size());
    EXPECT_EQ(line.chords[i].chord->tones()[static_cast<std::size_t>(chord.inversion)], chord.right.front().name());
  }
}

}  // namespace
}  // namespace romanesca
