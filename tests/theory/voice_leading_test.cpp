#include "theory/voicing/voice_leading.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <limits>
#include <random>

#include "theory/voicing/left_hand.h"

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
        EXPECT_LE(voicing.back().midi() - voicing.front().midi(), usual_span) << row.name;
        for (std::size_t i = 1; i < voicing.size(); ++i) EXPECT_GT(voicing[i].midi(), voicing[i - 1].midi());
        for (const Pitch& note : voicing) EXPECT_NE(std::find(tones.begin(), tones.end(), note.name()), tones.end());
      }
    }
  }
}

/// All ways through the voicings, the plain way: the smallest sum of costs.
int brute_force(const std::vector<Chord>& chords, const VoicingRules& rules, bool loops, std::size_t from,
                const Voicing* first, const Voicing* before) {
  if (from == chords.size()) return loops ? cost_between(*before, *first) : 0;
  int best = std::numeric_limits<int>::max();
  for (const Voicing& voicing : voicings(chords[from], rules)) {
    const int here = cost_of(voicing, rules) + (before == nullptr ? 0 : cost_between(*before, voicing));
    const int rest = brute_force(chords, rules, loops, from + 1, first == nullptr ? &voicing : first, &voicing);
    best = std::min(best, here + rest);
  }
  return best;
}

int cost_of_way(const VoiceLeading& led, const VoicingRules& rules, bool loops) {
  int sum = loops ? cost_between(led.right.back(), led.right.front()) : 0;
  for (std::size_t i = 0; i < led.right.size(); ++i) {
    sum += cost_of(led.right[i], rules) + (i > 0 ? cost_between(led.right[i - 1], led.right[i]) : 0);
  }
  return sum;
}

std::vector<Chord> random_chords(std::mt19937& random, std::size_t length) {
  const auto rows = chord_type_rows();
  std::vector<Chord> chords;
  for (std::size_t i = 0; i < length; ++i) {
    const ChordTypeRow& row = rows[random() % rows.size()];
    chords.push_back(Chord::on(PitchClass(static_cast<int>(random() % 13) - 6), row.type));
  }
  return chords;
}

constexpr VoicingKind all_kinds[] = {VoicingKind::close, VoicingKind::root_position, VoicingKind::open,
                                     VoicingKind::shell, VoicingKind::rootless};

// With and without a seam, for every way of laying chords out and several hands.
TEST(VoiceLeading, EqualsBruteForceOnRandomProgressions) {
  std::mt19937 random(20261125);  // the seed is part of the test
  for (int round = 0; round < 120; ++round) {
    VoicingRules rules;
    rules.kind = all_kinds[round % 5];
    rules.span = 7 + static_cast<int>(random() % 6);
    rules.most_inversion = static_cast<int>(random() % 4);
    const std::size_t length = 1 + random() % (rules.kind == VoicingKind::root_position ? 6 : 5);
    const std::vector<Chord> chords = random_chords(random, length);
    for (const bool loops : {false, true}) {
      const VoiceLeading led = lead_voices(chords, rules, loops);
      ASSERT_EQ(led.right.size(), chords.size());
      EXPECT_EQ(cost_of_way(led, rules, loops), brute_force(chords, rules, loops, 0, nullptr, nullptr));
    }
  }
}

TEST(VoiceLeading, SixChordsEqualBruteForce) {
  std::mt19937 random(6);  // the seed is part of the test
  for (int round = 0; round < 3; ++round) {
    const std::vector<Chord> chords = random_chords(random, 6);
    EXPECT_EQ(cost_of_way(lead_voices(chords), {}, false), brute_force(chords, {}, false, 0, nullptr, nullptr));
  }
}

// The movement itself is the smallest there is between any two triads or sevenths, whatever else the cost weighs.
TEST(VoiceLeading, SmallestMovementBetweenTriadsAndSevenths) {
  for (const ChordTypeRow& one : chord_type_rows()) {
    for (const ChordTypeRow& other : chord_type_rows()) {
      if (one.type.size() < 3 || one.type.size() > 4 || other.type.size() < 3 || other.type.size() > 4) continue;
      const Chord from = Chord::on(PitchClass(0), one.type);
      for (int root = -5; root <= 6; root += 3) {
        const Chord to = Chord::on(PitchClass(root), other.type);
        int least = std::numeric_limits<int>::max();
        for (const Voicing& a : voicings(from, {})) {
          for (const Voicing& b : voicings(to, {})) least = std::min(least, movement(a, b));
        }
        EXPECT_EQ(lead_voices(std::vector{from, to}).semitones, least) << one.name << " to " << other.name;
      }
    }
  }
}

// Every chord in every kind and hand: within the range and the span, tones of the chord only, never empty.
TEST(Voicings, KeepToTheRules) {
  for (const ChordTypeRow& row : chord_type_rows()) {
    for (const VoicingKind kind : all_kinds) {
      for (const int span : {5, 7, 9, 12}) {
        for (int root = -6; root <= 6; ++root) {
          const Chord chord = Chord::on(PitchClass(root), row.type);
          VoicingRules rules;
          rules.kind = kind;
          rules.span = span;
          const auto all = voicings(chord, rules);
          ASSERT_FALSE(all.empty());
          for (const Voicing& voicing : all) {
            const bool opens = kind == VoicingKind::open && voicing.size() >= 3;
            EXPECT_LE(voicing.back().midi() - voicing[opens ? 1 : 0].midi(), span) << row.name;
            EXPECT_LE(voicing.back().midi(), right_hand.highest);
            for (const Pitch& note : voicing) EXPECT_NE(chord.sounding_tones() >> note.name().semitone() & 1U, 0U);
          }
        }
      }
    }
  }
}

TEST(Voicings, OfACommonChord) {
  const auto first = [](const char* symbol, VoicingKind kind) {
    VoicingRules rules;
    rules.kind = kind;
    std::string text;
    const Voicing lowest = voicings(*parse_chord(symbol), rules).front();
    for (const Pitch& note : lowest) text += to_string(note) + " ";
    return text;
  };
  EXPECT_EQ(first("C", VoicingKind::root_position), "C4 E4 G4 ");
  EXPECT_EQ(first("C", VoicingKind::close), "G3 C4 E4 ");
  EXPECT_EQ(first("C", VoicingKind::open), "C3 G3 E4 ");
  EXPECT_EQ(first("Cmaj7", VoicingKind::shell), "B3 E4 ");
  EXPECT_EQ(first("C7sus4", VoicingKind::shell), "Bb3 F4 ");
  EXPECT_EQ(first("C7", VoicingKind::rootless), "G3 Bb3 E4 ");
  // A semitone at the bottom is avoided, and what names the chord stays.
  EXPECT_EQ(first("Cmaj7", VoicingKind::close), "G3 B3 C4 E4 ");
  EXPECT_EQ(first("C9", VoicingKind::close), "G3 Bb3 D4 E4 ");
  EXPECT_EQ(first("C13", VoicingKind::close), "Bb3 D4 E4 A4 ");
  EXPECT_EQ(first("C7alt", VoicingKind::close), "G#3 Bb3 D#4 E4 ");
  EXPECT_EQ(first("C9/E", VoicingKind::close), "G3 Bb3 C4 D4 ");  // the bass has the third, not the root
}

// The figures of VoiceLeadingCost, one at a time.
TEST(VoiceLeading, CostsWhatItsTableSays) {
  const VoiceLeadingCost& each = voice_leading_cost;
  const Voicing triad = notes({"C4", "E4", "G4"});
  EXPECT_EQ(cost_between(triad, triad), 0);
  EXPECT_EQ(cost_between(triad, notes({"C4", "F4", "A4"})), 3 * each.semitone);  // 1 and 2, the top within a third
  EXPECT_EQ(cost_between(triad, notes({"C4", "E4", "C5"})), 5 * each.semitone + each.top_leap);
  EXPECT_EQ(cost_between(notes({"C5"}), notes({"D4"})), 10 * each.semitone + 6 * each.top_leap);

  VoicingRules rules;
  rules.range = {48, 72};  // about C4
  EXPECT_EQ(cost_of(notes({"C4"}), rules), 0);
  EXPECT_EQ(cost_of(notes({"G4"}), rules), 7 * each.off_the_middle);
  EXPECT_EQ(cost_of(notes({"F3"}), rules), 7 * each.off_the_middle);
  EXPECT_EQ(cost_of(notes({"F#3", "F4", "F#4"}), rules), 2 * each.off_the_middle / 2 + each.wide_span);
}

TEST(LeftHands, PlayTheBassAndStayClear) {
  std::mt19937 random(17);  // the seed is part of the test
  for (int round = 0; round < 200; ++round) {
    const std::vector<Chord> chords = random_chords(random, 8);
    const VoiceLeading led = lead_voices(chords);
    for (const LeftHand left : {LeftHand::root, LeftHand::fifth, LeftHand::octave, LeftHand::broken}) {
      const auto hands = left_hands(chords, led.right, std::vector<LeftHand>(chords.size(), left), 12);
      for (std::size_t i = 0; i < hands.size(); ++i) {
        EXPECT_EQ(hands[i].front().name(), chords[i].bass);
        EXPECT_GE(hands[i].front().midi(), piano_keys.lowest);
        EXPECT_LT(hands[i].back().midi(), led.right[i].front().midi());
        EXPECT_LE(hands[i].back().midi() - hands[i].front().midi(), 12);
      }
    }
  }
}

}  // namespace
}  // namespace romanesca
