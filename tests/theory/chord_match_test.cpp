#include "theory/chords/chord_match.h"

#include <gtest/gtest.h>

#include "theory/listening/heard_notes.h"

namespace romanesca {
namespace {

const Key c_major{PitchClass(0), Mode::major};

std::string told(const std::vector<int>& midi, const char* name) {
  const ChordMatch match = match_chord(midi, *parse_chord(name), c_major);
  std::string text;
  for (const PitchClass note : match.missing) text += "-" + to_string(note);
  for (const PitchClass note : match.foreign) text += "+" + to_string(note);
  return text + (match.bass_fits ? "" : " bass");
}

TEST(ChordMatch, TellsWhatIsMissingAndWhatIsForeign) {
  EXPECT_EQ(told({60, 64, 67}, "C"), "");
  EXPECT_EQ(told({64, 67, 72}, "C"), " bass");
  EXPECT_EQ(told({60, 64}, "C"), "-G");
  EXPECT_EQ(told({60, 63, 67}, "C"), "-E+Eb");
  EXPECT_EQ(told({55, 59, 65}, "G7"), "") << "a seventh chord may leave its fifth out";
  EXPECT_EQ(told({59, 62, 65}, "Bm7b5"), "-A") << "a fifth that tells something may not be left out";
  EXPECT_EQ(told({62, 60, 64, 67}, "C/D"), " bass");
  EXPECT_EQ(told({50, 60, 64, 67}, "C/D"), "");
  EXPECT_EQ(told({}, "C"), "-C-E-G");
}

/// The tones of a chord match it, on every root and in every type.
TEST(ChordMatch, EveryChordMatchesItself) {
  for (int fifths = -6; fifths <= 6; ++fifths) {
    for (const ChordTypeRow& row : chord_type_rows()) {
      const Chord chord = Chord::on(PitchClass(fifths), row.type);
      std::vector<int> midi{36 + chord.root.semitone()};
      for (const PitchClass tone : chord.tones()) midi.push_back(60 + tone.semitone());
      const ChordMatch match = match_chord(midi, chord, c_major);
      EXPECT_TRUE(match.complete() && match.bass_fits) << to_string(chord);
    }
  }
}

TEST(HeardNotes, ThePedalHoldsWhatTheFingersLetGo) {
  HeardNotes notes;
  notes.key_down(60);
  notes.pedal(64);
  notes.key_up(60);
  notes.key_down(64);
  EXPECT_FALSE(notes.held()[60]);
  EXPECT_TRUE(notes.sounding()[60] && notes.sounding()[64]);
  notes.pedal(63);
  EXPECT_FALSE(notes.sounding()[60]);
  EXPECT_TRUE(notes.sounding()[64]);
  notes.key_down(200);
  notes.key_up(-1);
  notes.all_up();
  EXPECT_TRUE(notes.sounding().none());
}

}  // namespace
}  // namespace romanesca
