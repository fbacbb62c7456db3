// Common practice in jazz, no source: a pianist without the root adds a ninth of the key to a triad, or a seventh.
#include "synth/arranging/colour_tones.h"

#include <gtest/gtest.h>

#include <string>

namespace romanesca {
namespace {

std::string coloured(std::initializer_list<const char*> symbols) {
  std::vector<Chord> chords;
  for (const char* symbol : symbols) chords.push_back(*parse_chord(symbol));
  std::string text;
  for (const Chord& chord : with_colour_tones(chords)) text += (text.empty() ? "" : " ") + to_string(chord);
  return text;
}

TEST(ColourTones, AreOfTheKey) {
  EXPECT_EQ(coloured({"C", "Am", "F", "G"}), "Cadd9 Am(add9) Fadd9 Gadd9");
  EXPECT_EQ(coloured({"C", "Em", "F", "G"}), "Cadd9 Em7 Fadd9 Gadd9");     // no F sharp over E minor
  EXPECT_EQ(coloured({"Cm", "Ab", "Fm", "G"}), "Cm(add9) Ab Fm(add9) G");  // no A over G, nor a B flat that nothing has
  EXPECT_EQ(coloured({"C", "E", "Am", "F"}), "C E Am(add9) Fadd9");
}

TEST(ColourTones, FollowAChangeOfKey) {
  std::vector<Chord> chords;
  for (int round = 0; round < 8; ++round) {
    for (const char* symbol : {"C", "Em", "F", "G"}) chords.push_back(*parse_chord(symbol));
  }
  for (int round = 0; round < 8; ++round) {
    for (const char* symbol : {"D", "F#m", "G", "Em"}) chords.push_back(*parse_chord(symbol));
  }
  const auto found = with_colour_tones(chords);
  EXPECT_EQ(to_string(found[1]), "Em7");
  EXPECT_EQ(to_string(found.back()), "Em(add9)");
}

TEST(ColourTones, OtherChordsStay) {
  EXPECT_EQ(coloured({"Cmaj7", "A7", "Dm7", "G7sus4", "Bdim"}), "Cmaj7 A7 Dm7 G7sus4 Bdim");
  EXPECT_EQ(coloured({"C"}), "C");
  EXPECT_EQ(coloured({}), "");
}

}  // namespace
}  // namespace romanesca
