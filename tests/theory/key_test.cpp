#include "theory/chords/key.h"

#include <gtest/gtest.h>

namespace romanesca {
namespace {

TEST(Key, ReadsWhatPeopleType) {
  const PitchClass e_flat(-3);
  EXPECT_EQ(parse_key("Eb"), (KeyText{e_flat, {}}));
  EXPECT_EQ(parse_key("eb"), (KeyText{e_flat, {}}));
  EXPECT_EQ(parse_key("E♭"), (KeyText{e_flat, {}}));
  for (const char* text :
       {"Eb major", "E flat major", "E-flat major", "eb maj", "E♭ Major", "Ebmaj", "e flat ionian"}) {
    EXPECT_EQ(parse_key(text), (KeyText{e_flat, Mode::major})) << text;
  }
  for (const char* text : {"Ebm", "Eb minor", "E flat minor", "ebmin", "Eb aeolian", "Eb-minor"}) {
    EXPECT_EQ(parse_key(text), (KeyText{e_flat, Mode::minor})) << text;
  }
  EXPECT_EQ(parse_key("F# dorian"), (KeyText{PitchClass(6), Mode::dorian}));
  EXPECT_EQ(parse_key("bb"), (KeyText{PitchClass(-2), {}}));
}

TEST(Key, RefusesWhatIsNoKey) {
  for (const char* text : {"", "H", "Z major", "C majr", "C7", "Cmaj7", "C major minor", "#", "major"}) {
    EXPECT_FALSE(parse_key(text)) << text;
  }
}

TEST(Key, ThirtyKeysCanBeWritten) {
  ASSERT_EQ(written_keys().size(), 30U);
  for (const Key& key : written_keys()) {
    EXPECT_TRUE(key.can_be_written()) << to_string(key);
    EXPECT_EQ(parse_key(to_string(key)), (KeyText{key.tonic, key.mode}));
  }
  EXPECT_FALSE((Key{PitchClass(8), Mode::major}).can_be_written());
  EXPECT_EQ(to_string(simplest_spelling({PitchClass(8), Mode::major})), "Ab major");
  EXPECT_EQ(to_string(simplest_spelling({PitchClass(-6), Mode::major})), "Gb major");
}

// Kostka & Payne (from memory): the triads of the major and the natural minor scale.
TEST(Key, DiatonicTriads) {
  const Key c{PitchClass(0), Mode::major};
  const char* major[] = {"C", "Dm", "Em", "F", "G", "Am", "Bdim"};
  const Key a{PitchClass(3), Mode::minor};
  const char* minor[] = {"Am", "Bdim", "C", "Dm", "Em", "F", "G"};
  for (int degree = 1; degree <= 7; ++degree) {
    EXPECT_EQ(to_string(c.diatonic_chord(degree)), major[degree - 1]);
    EXPECT_EQ(to_string(a.diatonic_chord(degree)), minor[degree - 1]);
  }
}

}  // namespace
}  // namespace romanesca
