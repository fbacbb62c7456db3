#include "progressions/library.h"

#include <gtest/gtest.h>

#include <set>

#include "progressions/pattern_match.h"
#include "theory/songs/progression.h"
#include "theory/songs/progression_text.h"

namespace romanesca {
namespace {

TEST(Library, EveryFileIsSound) {
  std::size_t count = 0;
  for (const EmbeddedText& file : library_texts()) {
    const auto patterns = read_patterns(file);
    ASSERT_TRUE(patterns) << file.name << ":" << patterns.error().place.line << ": " << patterns.error().message;
    count += patterns->size();
  }
  EXPECT_EQ(count, library().size());
  EXPECT_GE(count, 40U);
}

// Every row: an id of its own in lower case, numerals, a level, tags, one sentence that ends.
TEST(Library, EveryPattern) {
  std::set<std::string> ids, sentences, chords;
  std::set<Mode> modes;
  std::set<int> levels;
  for (const Pattern& pattern : library()) {
    EXPECT_TRUE(ids.insert(pattern.id).second) << pattern.id;
    EXPECT_TRUE(sentences.insert(pattern.description).second) << pattern.id;
    EXPECT_EQ(pattern.id.find_first_not_of("abcdefghijklmnopqrstuvwxyz-"), std::string::npos) << pattern.id;
    EXPECT_EQ(pattern.progression.notation, Notation::roman) << pattern.id;
    EXPECT_FALSE(pattern.tags.empty()) << pattern.id;
    EXPECT_TRUE(chords.insert(pattern.chords + std::string(to_string(pattern.mode))).second) << pattern.id;
    EXPECT_TRUE(pattern.description.ends_with('.')) << pattern.id;
    EXPECT_NE(pattern_named(pattern.family), nullptr) << pattern.id;
    modes.insert(pattern.mode);
    levels.insert(pattern.level);
  }
  EXPECT_EQ(modes.size(), all_modes.size());
  EXPECT_EQ(levels.size(), 8U);
}

// Every pattern can be realised in every key of its mode with letters that a reader knows.
TEST(Library, EveryPatternInEveryKey) {
  for (const Pattern& pattern : library()) {
    for (int fifths = -7; fifths <= 10; ++fifths) {
      const Key key{PitchClass(fifths), pattern.mode};
      if (!key.can_be_written()) continue;
      for (const TimedChord& timed : timeline(pattern.progression, key).chords) {
        ASSERT_TRUE(timed.chord);
        EXPECT_LE(std::abs(timed.chord->root.alteration()), 2) << pattern.id << " in " << to_string(key);
      }
    }
  }
}

TEST(Library, RefusesAFaultyFile) {
  const auto no_level = read_patterns({"bad", "[x]\nchords = \"I V\"\nsays = \"A.\"\n"});
  ASSERT_FALSE(no_level);
  EXPECT_EQ(no_level.error().message, "x: level must be 1 to 8");
  const auto bad_chord = read_patterns({"bad", "[x]\nchords = \"I Q\"\nlevel = 1\nsays = \"A.\"\n"});
  ASSERT_FALSE(bad_chord);
  EXPECT_EQ(bad_chord.error().place.line, 1);
  EXPECT_FALSE(read_patterns({"bad", "[x\n"}));
}

TEST(Library, Search) {
  const auto found = find_patterns({2, Mode::minor, {}});
  EXPECT_GE(found.size(), 3U);
  for (const Pattern* pattern : found) {
    EXPECT_EQ(pattern->level, 2);
    EXPECT_EQ(pattern->mode, Mode::minor);
  }
  EXPECT_GE(find_patterns({{}, {}, {"BLUES"}}).size(), 4U);
  EXPECT_TRUE(find_patterns({{}, {}, {"no such word"}}).empty());
}

std::string matches_of(const std::string& text) {
  std::string result;
  for (const PatternMatch& match : match_patterns(analyse(*parse_progression(text, "t")))) {
    result += match.id + "@" + std::to_string(match.bar) + "+" + std::to_string(match.bars) + " ";
  }
  return result;
}

// Open Music Theory, chapter "4-Chord Schemas": the schemas, their rotations and variants, in every major key.
TEST(PatternMatch, SchemasOfOpenMusicTheory) {
  const std::pair<const char*, const char*> schemas[] = {
      {"I vi IV V", "doo-wop"},           {"I vi ii V", "doo-wop"},           {"IV V I vi", "doo-wop"},
      {"vi IV I V", "singer-songwriter"}, {"I V vi IV", "singer-songwriter"}, {"IV V vi I", "hopscotch"},
  };
  for (const auto& [numerals, id] : schemas) {
    for (const Key& key : written_keys()) {
      if (key.mode != Mode::major) continue;
      Progression chords = realised(*parse_progression(std::string(numerals) + " " + numerals, "t"), key);
      const auto matches = match_patterns(analyse(chords));
      ASSERT_EQ(matches.size(), 1U) << numerals << " in " << to_string(key);
      EXPECT_EQ(matches.front().id, id);
      EXPECT_EQ(matches.front().bars, 8);
    }
  }
  EXPECT_EQ(matches_of("key: A minor\n| Am | F | C | G |"), "singer-songwriter@1+4 ");
  EXPECT_EQ(matches_of("key: A minor\n| F | G | Am | C |"), "hopscotch@1+4 ");
}

TEST(PatternMatch, FindsPatternsInsideASong) {
  EXPECT_EQ(matches_of("key: C\n| D7 | C | Am | F | G | C | Am | F | G | Eb |"), "doo-wop@2+8 ");
  EXPECT_EQ(matches_of("key: C\n| C | C | C | C |"), "");
}

// One usual substitution in a time round is heard as the pattern; two are not.
// A blues that stays on its tonic in the last bar is a blues (Open Music Theory, "Blues Harmony"); the same changes in
// fewer bars are none.
TEST(PatternMatch, ABluesMayCloseOnItsTonic) {
  EXPECT_EQ(matches_of("key: C\n| C7 | C7 | C7 | C7 | F7 | F7 | C7 | C7 | G7 | F7 | C7 | C7 |"),
            "twelve-bar-blues@1+12 ");
  EXPECT_EQ(matches_of("key: F\n| F7 | Bb7 | F7 | F7 | Bb7 | Bb7 | F7 | F7 | C7 | Bb7 | F7 | F7 |"),
            "twelve-bar-blues@1+12 ");
  EXPECT_EQ(matches_of("key: C\n| C | F | C | G | F | C |").find("blues"), std::string::npos);
}

TEST(PatternMatch, Substitutions) {
  const auto match = match_patterns(analyse(*parse_progression("key: C\n| C | G | Am | Dm |", "t")));
  ASSERT_EQ(match.size(), 1U);
  EXPECT_EQ(match.front().id, "singer-songwriter");
  EXPECT_EQ(match.front().instead, std::vector<std::string>{"ii for IV"});
  EXPECT_EQ(matches_of("key: C\n| Em | G | Am | Dm |"), "");
}

}  // namespace
}  // namespace romanesca
