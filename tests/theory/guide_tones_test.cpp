#include "theory/voicing/guide_tones.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cstdlib>

namespace romanesca {
namespace {

std::vector<Chord> chords_of(std::initializer_list<const char*> symbols) {
  std::vector<Chord> chords;
  for (const char* symbol : symbols) chords.push_back(*parse_chord(symbol));
  return chords;
}

std::string line_of(std::initializer_list<const char*> symbols, std::size_t first) {
  std::string text;
  for (const Pitch& note : guide_tone_line(chords_of(symbols), first)) {
    text += (text.empty() ? "" : " ") + to_string(note.name());
  }
  return text;
}

// The lines that every book on jazz harmony shows for ii V I: seventh to third to seventh, and the other way round
// (common practice, no source).
TEST(GuideTones, ThroughTwoFiveOne) {
  EXPECT_EQ(line_of({"Dm7", "G7", "Cmaj7"}, 0), "F F E");
  EXPECT_EQ(line_of({"Dm7", "G7", "Cmaj7"}, 1), "C B B");
}

TEST(GuideTones, OfTriadsAndSuspensions) {
  EXPECT_EQ(line_of({"C", "Am", "F", "G"}, 0), "E C A B");
  EXPECT_EQ(to_string(guide_tones(*parse_chord("Gsus4")).front()), "C");
  EXPECT_EQ(to_string(guide_tones(*parse_chord("C5")).front()), "G");
}

// No other choice of guide tones moves less: compared with every line there is.
TEST(GuideTones, NoLineMovesLess) {
  const auto chords = chords_of({"Cmaj7", "A7", "Dm7", "G7"});
  const auto movement_of = [](const std::vector<Pitch>& line) {
    int sum = 0;
    for (std::size_t i = 1; i < line.size(); ++i) sum += std::abs(line[i].midi() - line[i - 1].midi());
    return sum;
  };
  for (const std::size_t first : {std::size_t{0}, std::size_t{1}}) {
    std::vector<std::vector<Pitch>> lines{{}};
    for (std::size_t i = 0; i < chords.size(); ++i) {
      std::vector<std::vector<Pitch>> longer;
      for (const auto& line : lines) {
        const auto tones = guide_tones(chords[i]);
        for (std::size_t t = 0; t < tones.size(); ++t) {
          if (i == 0 && t != first) continue;
          for (Pitch p = lowest_at_or_above(tones[t], 60); p.midi() <= 76; p = p + intervals::octave) {
            longer.push_back(line);
            longer.back().push_back(p);
          }
        }
      }
      lines = std::move(longer);
    }
    int least = 1000;
    for (const auto& line : lines) least = std::min(least, movement_of(line));
    EXPECT_EQ(movement_of(guide_tone_line(chords, first)), least);
  }
}

}  // namespace
}  // namespace romanesca
