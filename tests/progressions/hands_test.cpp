#include <gtest/gtest.h>

#include <algorithm>
#include <cstdlib>
#include <map>
#include <set>

#include "progressions/level.h"
#include "progressions/library.h"
#include "theory/songs/progression.h"
#include "theory/voicing/fingering.h"

namespace romanesca {
namespace {

std::string text_of(const Voicing& voicing) {
  std::string text;
  for (const Pitch& note : voicing) text += (text.empty() ? "" : " ") + to_string(note);
  return text;
}

/// What went wrong in the loops that were played.
struct Count {
  int loops = 0, triads = 0;
  int two_places = 0;   ///< loops in which one chord is played in two places
  int odd_fingers = 0;  ///< triads not fingered 1 3 5 or 5 3 1
  int not_root = 0;     ///< triads not in root position
  int far = 0;          ///< hands that lie more than an octave from middle C, by their lowest note
};

void play(const Pattern& pattern, const Key& key, const Level& level, Count& count) {
  const Timeline line = timeline(pattern.progression, key);
  const std::vector<Key> keys(static_cast<std::size_t>(line.bars), key);
  const Hands hands = hands_for(line, level_hands(level), keys);
  std::map<std::string, std::set<std::string>> places;
  for (std::size_t i = 0; i < hands.chords.size(); ++i) {
    if (!line.chords[i].chord) continue;
    const Chord& chord = *line.chords[i].chord;
    const HandsChord& hand = hands.chords[i];
    places[to_string(chord)].insert(text_of(hand.left) + " | " + text_of(hand.right));
    if (std::abs(hand.right.front().midi() - 60) > 12) ++count.far;
    if (chord.type.size() != 3) continue;
    ++count.triads;
    if (hand.inversion != 0) ++count.not_root;
    if (hand.right_fingers != Fingers{1, 3, 5}) ++count.odd_fingers;
  }
  ++count.loops;
  const bool twice =
      std::any_of(places.begin(), places.end(), [](const auto& place) { return place.second.size() > 1; });
  if (twice) ++count.two_places;
}

// Every pattern of levels 1 and 2 in the keys of its level, with that level's hands and, for both, those of the other.
TEST(HandsOfBeginners, HaveOnePlaceForEachChord) {
  Count count;
  for (const Pattern& pattern : library()) {
    if (pattern.level > 2) continue;
    for (int tonic = -4; tonic <= 4; ++tonic) {
      for (const int number : {1, 2}) {
        const Key key{PitchClass(tonic + (is_minorish(pattern.mode) ? 3 : 0)), pattern.mode};
        play(pattern, key, level(number), count);
      }
    }
  }
  EXPECT_GE(count.loops, 80);
  EXPECT_GE(count.triads, 320);
  EXPECT_EQ(count.two_places, 0);
  EXPECT_EQ(count.odd_fingers, 0);
  EXPECT_EQ(count.not_root, 0);
  EXPECT_EQ(count.far, 0);
  RecordProperty("loops", count.loops);
  RecordProperty("triads", count.triads);
}

bool has_tone(const Chord& chord, const Voicing& notes, std::optional<Interval> tone) {
  return !tone || std::any_of(notes.begin(), notes.end(),
                              [&](const Pitch& note) { return note.name().sounds_like(chord.root + *tone); });
}

// Every chord type that a level allows, on twelve roots, with the level's own hands: stretches within its span, the
// hands apart, the usual fingers, third and seventh there, ninths of ninth chords too, the root twice at most.
TEST(HandsOfLevels, HoldForEveryChord) {
  for (const Level& level : levels()) {
    for (const ChordTypeRow& row : chord_type_rows()) {
      if (!level.allows(row.type)) continue;
      Timeline line;
      line.bars = 1;
      for (int root = -6; root <= 5; ++root) {
        TimedChord timed;
        timed.chord = Chord::on(PitchClass(root), row.type);
        line.chords.push_back(timed);
      }
      const Hands hands = hands_for(line, level_hands(level));
      for (std::size_t i = 0; i < line.chords.size(); ++i) {
        const Chord& chord = *line.chords[i].chord;
        const HandsChord& hand = hands.chords[i];
        const std::string text = "level " + std::to_string(level.number) + " " + to_string(chord) + ": " +
                                 text_of(hand.left) + " | " + text_of(hand.right);
        Voicing notes = hand.left;
        notes.insert(notes.end(), hand.right.begin(), hand.right.end());
        for (std::size_t n = 1; n < notes.size(); ++n) EXPECT_GT(notes[n].midi(), notes[n - 1].midi()) << text;
        EXPECT_LE(hand.right.back().midi() - hand.right.front().midi(), level.span) << text;
        EXPECT_LE(hand.left.back().midi() - hand.left.front().midi(), level.span) << text;
        EXPECT_EQ(hand.right_fingers, usual_fingers(hand.right, Hand::right)) << text;
        EXPECT_EQ(hand.left_fingers, usual_fingers(hand.left, Hand::left)) << text;
        EXPECT_TRUE(has_tone(chord, notes, third_of(chord))) << text;
        EXPECT_TRUE(has_tone(chord, notes, seventh_of(chord))) << text;
        const int roots = static_cast<int>(std::count_if(
            notes.begin(), notes.end(), [&](const Pitch& note) { return note.name().sounds_like(chord.root); }));
        EXPECT_LE(roots, 2) << text;
        if (level.number < 5) continue;
        const Interval highest = chord.type.tones().back();
        EXPECT_TRUE(chord.type.size() <= 4 || has_tone(chord, notes, highest)) << text;
      }
    }
  }
}

}  // namespace
}  // namespace romanesca
