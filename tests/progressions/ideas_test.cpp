#include "progressions/ideas.h"

#include <gtest/gtest.h>

#include <set>

#include "progressions/continuation.h"
#include "progressions/library.h"
#include "theory/songs/progression.h"
#include "theory/songs/progression_text.h"

namespace romanesca {
namespace {

Analysis analysed(const std::string& text) { return analyse(*parse_progression(text, "t")); }

// For every pattern in a few keys, every idea is of its own kind and can be played at the level.
TEST(Ideas, CanBePlayedAtTheLevel) {
  std::size_t given = 0;
  for (const Pattern& pattern : library()) {
    for (const int fifths : {-3, 0, 2}) {
      const Key key{PitchClass(fifths), pattern.mode};
      if (!key.can_be_written()) continue;
      const Analysis analysis = analyse(realised(pattern.progression, key));
      for (int number = level_of(analysis); number <= 8; ++number) {
        const auto ideas = ideas_for(analysis, level(number));
        EXPECT_LE(ideas.size(), 3U);
        std::set<std::string> kinds;
        for (const Idea& idea : ideas) {
          EXPECT_TRUE(kinds.insert(idea.kind).second) << pattern.id << " " << idea.kind;
          for (const Chord& chord : idea.chords) {
            EXPECT_TRUE(level(number).allows(chord.type)) << pattern.id << ": " << to_string(chord);
          }
          ++given;
        }
      }
    }
  }
  EXPECT_GT(given, 1000U);
}

TEST(Ideas, ForFourChords) {
  const auto ideas = ideas_for(analysed("key: C\n| C | G | Am | F |"), level(3));
  ASSERT_EQ(ideas.size(), 3U);
  EXPECT_EQ(ideas[0].kind, "substitution");
  EXPECT_EQ(to_string(ideas[0].chords[3]), "Dm");
  EXPECT_EQ(ideas[1].kind, "bass");
  EXPECT_EQ(to_string(ideas[1].chords[1]), "G/B");
  EXPECT_TRUE(ideas_for(analysed("key: C\n| C |"), level(3)).empty());
}

TEST(Continuations, TheFileIsSound) {
  EXPECT_GE(continuation_rows().size(), 20U);
  for (const ContinuationRow& row : continuation_rows()) {
    double sum = 0;
    for (const auto& [next, share] : row.next) {
      EXPECT_NE(next, row.from);
      EXPECT_GT(share, 0);
      sum += share;
    }
    EXPECT_LE(sum, 1.02) << row.from;  // each is rounded to a hundredth
    EXPECT_GT(sum, 0.6) << row.from;
  }
}

TEST(Continuations, TheDominantGoesHomeFirst) {
  const auto next = continuations(analysed("key: C\n| C | F | G7 |"));
  ASSERT_FALSE(next.empty());
  EXPECT_EQ(to_string(next.front().chord), "C");
  EXPECT_NE(next.front().reason.find("comes home"), std::string::npos);
  for (std::size_t i = 1; i < next.size(); ++i) EXPECT_LE(next[i].share, next[i - 1].share);
  EXPECT_EQ(to_string(continuations(analysed("key: A minor\n| Am | Dm | E |")).front().chord), "Am");
  EXPECT_TRUE(continuations(analysed("| N.C. |")).empty());
}

// In every key the same answer, moved.
TEST(Continuations, DoNotDependOnTheKey) {
  const auto here = continuations(analysed("key: C\n| C | Am | F |"));
  for (const Key& key : written_keys()) {
    if (key.mode != Mode::major) continue;
    const auto song = transposed(*parse_progression("key: C\n| C | Am | F |", "t"), key.tonic - PitchClass(0));
    const auto there = continuations(analyse(song));
    ASSERT_EQ(there.size(), here.size());
    for (std::size_t i = 0; i < here.size(); ++i) {
      EXPECT_EQ(there[i].chord.root.semitone(), (here[i].chord.root.semitone() + key.tonic.semitone()) % 12)
          << to_string(key);
    }
  }
}

}  // namespace
}  // namespace romanesca
