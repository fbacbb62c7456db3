#include "theory/notes/pitch.h"

#include <gtest/gtest.h>

namespace romanesca {
namespace {

// What makes no musical sense does not compile.
template <typename A, typename B>
concept can_add = requires(A a, B b) {
  a + b;
};
static_assert(can_add<Pitch, Interval>);
static_assert(can_add<Interval, Interval>);
static_assert(!can_add<Pitch, int>);
static_assert(!can_add<Pitch, Pitch>);

static_assert(Pitch(PitchClass(0), 4).midi() == 60);
static_assert(Pitch(PitchClass::of(6, 1), 3).midi() == 60);   // B#3
static_assert(Pitch(PitchClass::of(0, -1), 4).midi() == 59);  // Cb4
static_assert(PitchClass(6).sounds_like(PitchClass(-6)));
static_assert(PitchClass(6) != PitchClass(-6));

TEST(Pitch, NamesAlongTheLineOfFifths) {
  const char* names[] = {"Fb", "Cb", "Gb", "Db", "Ab", "Eb", "Bb", "F", "C", "G", "D", "A", "E", "B", "F#", "C#", "G#"};
  for (int fifths = -8; fifths <= 8; ++fifths) {
    EXPECT_EQ(to_string(PitchClass(fifths)), names[fifths + 8]);
    EXPECT_EQ(parse_pitch_class(names[fifths + 8]), PitchClass(fifths));
  }
}

TEST(Pitch, ParsePrintRoundTrip) {
  for (int letter = 0; letter < 7; ++letter) {
    for (int alteration = -3; alteration <= 3; ++alteration) {
      for (int octave = -1; octave <= 9; ++octave) {
        const Pitch pitch{PitchClass::of(letter, alteration), octave};
        EXPECT_EQ(parse_pitch(to_string(pitch)), pitch);
        EXPECT_EQ(pitch.name().letter(), letter);
        EXPECT_EQ(pitch.name().alteration(), alteration);
      }
    }
  }
}

TEST(Pitch, RefusesWhatIsNoNote) {
  for (const char* text : {"", "H4", "c4", "C", "C#b4", "C4x", "C10", "C-2", "4", "C####4"}) {
    EXPECT_FALSE(parse_pitch(text)) << text;
  }
}

// ISO 16:1975: A4 is 440 Hz. C4 = 261.626 Hz in equal temperament (from memory).
TEST(Pitch, Frequency) {
  EXPECT_DOUBLE_EQ(frequency_hz(69), 440.0);
  EXPECT_NEAR(frequency_hz(60), 261.626, 0.0005);
  EXPECT_NEAR(frequency_hz(81), 880.0, 1e-9);
}

TEST(Pitch, LowestAtOrAbove) {
  for (int fifths = -10; fifths <= 10; ++fifths) {
    for (int midi = 0; midi < 127; ++midi) {
      const Pitch pitch = lowest_at_or_above(PitchClass(fifths), midi);
      EXPECT_EQ(pitch.name(), PitchClass(fifths));
      EXPECT_GE(pitch.midi(), midi);
      EXPECT_LT(pitch.midi(), midi + 12);
    }
  }
}

TEST(Interval, NamesRoundTrip) {
  for (const char* name :
       {"P1", "m2", "M2", "A2", "m3",  "M3",  "P4",  "A4",  "d5",  "P5",  "A5",  "m6",  "M6",  "d7", "m7",
        "M7", "P8", "m9", "M9", "P11", "A11", "m13", "M13", "-m3", "-P5", "-M9", "AA4", "dd5", "d1", "A1"}) {
    const auto interval = parse_interval(name);
    ASSERT_TRUE(interval) << name;
    if (std::string(name) == "d1") continue;  // a falling augmented unison to everyone
    EXPECT_EQ(to_string(*interval), name);
  }
}

TEST(Interval, Refuses) {
  for (const char* name : {"", "M5", "P3", "m4", "X3", "M", "3", "M0", "M100", "Md3", "m3x", "--m3"}) {
    EXPECT_FALSE(parse_interval(name)) << name;
  }
}

TEST(Interval, Semitones) {
  EXPECT_EQ(intervals::major_third.semitones(), 4);
  EXPECT_EQ(intervals::diminished_seventh.semitones(), 9);
  EXPECT_EQ(parse_interval("M13")->semitones(), 21);
  EXPECT_EQ(parse_interval("M13")->number(), 13);
  EXPECT_EQ((-intervals::perfect_fifth).semitones(), -7);
}

}  // namespace
}  // namespace romanesca
