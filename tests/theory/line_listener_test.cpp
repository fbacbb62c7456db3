#include "theory/listening/line_listener.h"

#include <gtest/gtest.h>

#include "tests/theory/named_chords.h"

namespace romanesca {
namespace {

using test::c_major;
using test::chord;
using Sentences = std::vector<std::string>;

TEST(LineListener, DegreesAreNamedByTheirLetters) {
  const auto degree = [](const char* over, const char* note) {
    return degree_in(chord(over), parse_chord(note)->root).value_or("outside");
  };
  EXPECT_EQ(degree("C", "C"), "root");
  EXPECT_EQ(degree("Cm", "Eb"), "third");
  EXPECT_EQ(degree("G7", "F"), "seventh");
  EXPECT_EQ(degree("Csus4", "F"), "fourth");
  EXPECT_EQ(degree("C6", "A"), "sixth");
  EXPECT_EQ(degree("C9", "D"), "ninth");
  EXPECT_EQ(degree("C", "D"), "outside");
  EXPECT_EQ(degree("F#", "Bb"), "third") << "the key of the piano counts";
}

TEST(LineListener, StrongBeats) {
  EXPECT_TRUE(is_strong(Meter{4, 4}, 0));
  EXPECT_FALSE(is_strong(Meter{4, 4}, 1));
  EXPECT_TRUE(is_strong(Meter{4, 4}, 2));
  EXPECT_FALSE(is_strong(Meter{3, 4}, 2));
  EXPECT_TRUE(is_strong(Meter{12, 8}, 2));
  EXPECT_FALSE(is_strong(Meter{6, 8}, 1));
}

TEST(LineListener, TellsWhereTheLineLands) {
  LineListener listener(c_major);
  listener.beat(1000, chord("C"), 1);
  listener.key_down(64, 950);  // a little early
  listener.key_up(64, 1400);
  listener.key_down(62, 1500);  // between the beats: a passing note
  listener.key_up(62, 1900);
  listener.beat(2000, chord("C"), 1);
  listener.key_down(67, 2100);
  listener.beat(3000, chord("F"), 2);  // G is still held
  listener.pass(3500);
  listener.key_up(67, 3600);
  listener.beat(4000, chord("F"), 2);
  listener.key_down(66, 4020);
  listener.pass(5000);
  EXPECT_EQ(listener.report(),
            (Sentences{"You played 4 notes.", "On strong beats the line landed on the fifth once, the third once.",
                       "Notes of the scale outside the chord: once.", "Outside the key: F# in bar 2 over F."}));
}

TEST(LineListener, RestsAndRestingChordsAreNoFault) {
  LineListener listener(c_major);
  listener.beat(1000, std::nullopt, 1);
  listener.pass(2000);
  EXPECT_EQ(listener.report().size(), 1U);
  listener.beat(3000, std::nullopt, 2);
  listener.key_down(60, 3000);
  listener.pass(4000);
  EXPECT_EQ(listener.report(), (Sentences{"You played one note.", "Notes of the scale outside the chord: once."}));
}

}  // namespace
}  // namespace romanesca
