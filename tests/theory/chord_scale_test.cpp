#include "theory/chords/chord_scale.h"

#include <gtest/gtest.h>

namespace romanesca {
namespace {

std::string names(const std::vector<PitchClass>& notes) {
  std::string text;
  for (const PitchClass note : notes) text += (text.empty() ? "" : " ") + to_string(note);
  return text;
}

std::string scale_of(const std::string& chord, PitchClass tonic, Mode mode) {
  const ChordScale scale = chord_scale(*parse_chord(chord), {tonic, mode});
  return names(scale.tones) + " | " + names(scale.passing) + " | " + names(scale.tense);
}

// The avoid notes that textbooks of jazz name for the chords of a major key (Levine, "The Jazz Theory Book", 1995,
// chapter 3, from memory): the fourth over I, the sixth and second over iii, none over ii and IV by the rule of the
// semitone.
TEST(ChordScale, OfTheChordsOfCMajor) {
  EXPECT_EQ(scale_of("Cmaj7", PitchClass(0), Mode::major), "C E G B | D A | F");
  EXPECT_EQ(scale_of("Dm7", PitchClass(0), Mode::major), "D F A C | E G B | ");
  EXPECT_EQ(scale_of("Em7", PitchClass(0), Mode::major), "E G B D | A | F C");
  EXPECT_EQ(scale_of("Fmaj7", PitchClass(0), Mode::major), "F A C E | G B D | ");
  EXPECT_EQ(scale_of("G7", PitchClass(0), Mode::major), "G B D F | A E | C");
  EXPECT_EQ(scale_of("Am7", PitchClass(0), Mode::major), "A C E G | B D | F");
}

// The leading note of a dominant in minor takes the place of the lowered seventh; a borrowed chord brings its own
// third.
TEST(ChordScale, TakesForeignTonesFromTheChord) {
  EXPECT_EQ(scale_of("G7", PitchClass(0), Mode::minor), "G B D F |  | Ab C Eb");
  EXPECT_EQ(scale_of("Fm", PitchClass(0), Mode::major), "F Ab C | G B D E | ");
  EXPECT_EQ(scale_of("D7", PitchClass(0), Mode::major), "D F# A C | E B | G");
}

// Seven letters, each once, for every triad and seventh chord of every key; where the chord sounds a note of the key
// under another letter there are fewer.
TEST(ChordScale, UsesEachLetterOnce) {
  for (const Key& key : written_keys()) {
    for (int degree = 1; degree <= 7; ++degree) {
      for (const int size : {3, 4}) {
        const ChordScale scale = chord_scale(key.diatonic_chord(degree, size), key);
        unsigned letters = 0;
        for (const auto* part : {&scale.tones, &scale.passing, &scale.tense}) {
          for (const PitchClass note : *part) {
            EXPECT_EQ(letters & (1U << static_cast<unsigned>(note.letter())), 0U) << to_string(key);
            EXPECT_TRUE(key.contains(note)) << to_string(key);
            letters |= 1U << static_cast<unsigned>(note.letter());
          }
        }
        EXPECT_EQ(letters, 127U) << to_string(key) << " " << degree;
      }
    }
  }
}

}  // namespace
}  // namespace romanesca
