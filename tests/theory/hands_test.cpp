#include "theory/voicing/hands.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "tests/sweep.h"
#include "theory/songs/progression_text.h"
#include "theory/voicing/root_positions.h"

namespace romanesca {
namespace {

Hands played(const std::string& text, const HandSettings& settings, const std::string& key = "C") {
  const KeyText named = *parse_key(key);
  const Key in{named.tonic, named.mode.value_or(Mode::major)};
  const Timeline line = timeline(*parse_progression(text, "t"), in);
  return hands_for(line, settings, std::vector<Key>(static_cast<std::size_t>(line.bars), in));
}

std::string text_of(const Voicing& voicing) {
  std::string text;
  for (const Pitch& note : voicing) text += (text.empty() ? "" : " ") + to_string(note);
  return text;
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

/// The settings that a chart can have: every kind and left hand, and hands of several sizes.
std::vector<HandSettings> all_settings() {
  std::vector<HandSettings> all;
  for (const VoicingKind kind : all_voicing_kinds) {
    for (const LeftHand left : all_left_hands) {
      for (const int span : {7, 9, 12}) {
        HandSettings settings;
        settings.voicing = kind;
        settings.left = left;
        settings.span = span;
        settings.spare_doublings = true;
        all.push_back(settings);
        settings.one_place = true;
        settings.most_inversion = 0;
        if (kind == VoicingKind::close) all.push_back(settings);
      }
    }
  }
  return all;
}

bool has_fifths(const Chord& chord, const Voicing& notes, std::optional<Interval> tone) {
  return !tone || std::any_of(notes.begin(), notes.end(),
                              [&](const Pitch& note) { return note.name().sounds_like(chord.root + *tone); });
}

/// What every chord must have, whatever the settings. @param text says where it is, for a failure
void check_hands(const Chord& chord, const HandsChord& hands, const HandSettings& settings, const std::string& text) {
  Voicing notes = hands.left;
  notes.insert(notes.end(), hands.right.begin(), hands.right.end());
  for (std::size_t i = 1; i < notes.size(); ++i) EXPECT_GT(notes[i].midi(), notes[i - 1].midi()) << text;
  EXPECT_TRUE(has_fifths(chord, notes, third_of(chord))) << text << " has no third";
  EXPECT_TRUE(has_fifths(chord, notes, seventh_of(chord))) << text << " has no seventh";
  const int roots = static_cast<int>(std::count_if(
      notes.begin(), notes.end(), [&](const Pitch& note) { return note.name().sounds_like(chord.root); }));
  EXPECT_LE(roots, 2) << text;
  EXPECT_EQ(hands.right_fingers.size(), hands.right.size()) << text;
  EXPECT_EQ(hands.left_fingers.size(), hands.left.size()) << text;
  for (const Voicing* hand : {&hands.left, &hands.right}) {
    if (hand->size() < 3) continue;
    EXPECT_NE((*hand)[1].midi() - (*hand)[0].midi(), 1) << text << " has a semitone at the bottom";
  }
  const bool bass_is_lowest = hands.left.front().name().sounds_like(chord.bass);
  EXPECT_TRUE(bass_is_lowest || settings.voicing == VoicingKind::rootless) << text;
}

// Every chord type on twelve roots in every kind: third and seventh are there, the root twice at most, no semitone at
// the bottom of a hand, fingers for every note. Four parts leave tones out by rules of their own.
TEST(Hands, AreCompleteForEveryChordAndSetting) {
  std::size_t turn = 0;
  const std::vector<ChordTypeRow> rows(chord_type_rows().begin(), chord_type_rows().end());
  for (const HandSettings& settings : all_settings()) {
    if (settings.voicing == VoicingKind::four_part) continue;
    for (const ChordTypeRow& row : test::tried(rows, turn++)) {
      Timeline line;
      for (int root = -6; root <= 5; ++root) {
        TimedChord timed;
        timed.chord = Chord::on(PitchClass(root), row.type);
        line.chords.push_back(timed);
      }
      line.bars = 1;
      const Hands hands = hands_for(line, settings);
      for (std::size_t i = 0; i < line.chords.size(); ++i) {
        const Chord& chord = *line.chords[i].chord;
        check_hands(chord, hands.chords[i], settings,
                    to_string(chord) + " " + std::string(to_string(settings.voicing)) + " " +
                        std::string(to_string(settings.left)) + " " + std::to_string(settings.span) + ": " +
                        text_of(hands.chords[i].left) + " | " + text_of(hands.chords[i].right));
      }
    }
  }
}

// A ninth chord has its ninth, an altered chord its alteration, in every kind for a hand that reaches an octave; shells
// have neither.
TEST(Hands, KeepWhatNamesTheChord) {
  struct Named {
    const char* symbol;
    const char* tone;  // in C
  };
  for (const VoicingKind kind : {VoicingKind::close, VoicingKind::open, VoicingKind::rootless, VoicingKind::two_hand}) {
    for (const Named& each : {Named{"C9", "D"},
                              {"Cmaj9", "D"},
                              {"Cm9", "D"},
                              {"C7b9", "Db"},
                              {"C7#9", "D#"},
                              {"C7#5", "G#"},
                              {"C7b5", "Gb"},
                              {"C7#11", "F#"},
                              {"C7b13", "Ab"},
                              {"C7alt", "D#"},
                              {"C13", "A"},
                              {"Cm11", "F"},
                              {"C11", "F"},
                              {"Cmaj7#11", "F#"},
                              {"Cm7b5", "Gb"}}) {
      for (int up = -6; up <= 5; ++up) {
        HandSettings settings;
        settings.voicing = kind;
        settings.left = LeftHand::octave;
        const Interval by = Interval::simple(up);
        const Chord chord = *parse_chord(each.symbol) + by;
        const HandsChord hands = played(to_string(chord), settings).chords.front();
        Voicing notes = hands.left;
        notes.insert(notes.end(), hands.right.begin(), hands.right.end());
        const PitchClass tone = *parse_pitch_class(each.tone) + by;
        EXPECT_TRUE(
            std::any_of(notes.begin(), notes.end(), [&](const Pitch& note) { return note.name().sounds_like(tone); }))
            << to_string(chord) << " " << to_string(kind) << " without " << to_string(tone);
      }
    }
  }
}

// Root positions near middle C, V7 with third, seventh and root: as method books have the first chords (from memory).
TEST(Hands, OfABeginner) {
  HandSettings settings;
  settings.one_place = true;
  settings.most_inversion = 0;
  settings.span = 9;
  const Hands hands = played("| C | F | G7 | C |", settings);
  EXPECT_EQ(text_of(hands.chords[0].right), "C4 E4 G4");
  EXPECT_EQ(text_of(hands.chords[1].right), "F4 A4 C5");
  EXPECT_EQ(text_of(hands.chords[2].right), "B3 F4 G4");
  EXPECT_EQ(hands.chords[2].right_fingers, (Fingers{1, 4, 5}));
  EXPECT_EQ(text_of(hands.chords[3].right), "C4 E4 G4");
  EXPECT_EQ(text_of(hands.chords[0].left), "C3");
  EXPECT_EQ(text_of(hands.chords[1].left), "F2");
}

// The octave of the roots is the one of six with which the hand moves least: tried again here one by one.
TEST(RootPositions, OnePlaceForEachChord) {
  std::vector<Chord> chords;
  for (const char* symbol : {"G", "D", "Em", "C", "G", "D7", "C", "Am", "G"}) chords.push_back(*parse_chord(symbol));
  const auto places = root_positions(chords, 9);
  for (std::size_t i = 0; i < chords.size(); ++i) {
    for (std::size_t j = 0; j < chords.size(); ++j) {
      EXPECT_TRUE(chords[i] != chords[j] || places[i] == places[j]);
    }
    EXPECT_GE(places[i].front().midi(), 53);
    EXPECT_LE(places[i].back().midi(), 79);
  }
}

// A diminished seventh as players write it, and strictly; Cb stays where the key has it (common practice, no source).
TEST(Hands, SpellForReading) {
  HandSettings settings;
  EXPECT_EQ(text_of(played("Abdim7", settings).chords[0].right), "D4 F4 Ab4 B4");
  EXPECT_EQ(text_of(played("Ddim7", settings, "Eb").chords[0].right), "D4 F4 Ab4 B4");
  EXPECT_EQ(text_of(played("Fdim7", settings, "Gb").chords[0].right), "D4 F4 Ab4 Cb5");
  EXPECT_EQ(text_of(played("Gbdim7", settings, "Db").chords[0].right), "Eb4 Gb4 A4 C5");
  EXPECT_EQ(text_of(played("Abm", settings, "Gb").chords[0].right), "Eb4 Ab4 Cb5");
  settings.strict_spelling = true;
  EXPECT_EQ(text_of(played("Abdim7", settings).chords[0].right), "Ebb4 Gbb4 Ab4 Cb5");
}

// The shape of the right hand is one thing, the inversion of the chord that sounds another.
TEST(Hands, ShapeOfTheRightHand) {
  const Hands hands = played("| Eb/G | C |", {}, "Eb");
  EXPECT_EQ(hands.chords[0].left.front().name(), *parse_pitch_class("G"));
  HandSettings alone;
  alone.voicing = VoicingKind::rootless;
  const Hands rootless = played("| Dm7 | G7 |", alone);
  EXPECT_EQ(rootless.chords[0].inversion, -1);
  EXPECT_TRUE(rootless.chords[0].right.empty());
  EXPECT_GT(rootless.semitones, 0);
}

}  // namespace
}  // namespace romanesca
