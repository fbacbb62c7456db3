#include "progressions/ideas.h"

#include <gtest/gtest.h>

#include <map>
#include <set>

#include "progressions/continuation.h"
#include "progressions/ideas/song_phrases.h"
#include "progressions/library.h"
#include "theory/chords/numeral_text.h"
#include "theory/songs/progression.h"
#include "theory/songs/progression_text.h"

namespace romanesca {
namespace {

Analysis analysed(const std::string& text) { return analyse(*parse_progression(text, "t")); }

/// Every idea that the song gets under one of many titles, by kind and bars; its sentence.
std::map<std::string, std::string> all_ideas(const std::string& text, int number, const std::string& style = {}) {
  const Analysis analysis = analysed(text);
  std::map<std::string, std::string> all;
  for (int title = 0; title < 300; ++title) {
    for (const Idea& idea : ideas_for(analysis, level(number), std::to_string(title), style)) {
      all[idea.kind + ": " + idea.progression] = idea.text;
    }
  }
  return all;
}

std::set<std::string> kinds_in(const std::map<std::string, std::string>& ideas) {
  std::set<std::string> kinds;
  for (const auto& idea : ideas) kinds.insert(idea.first.substr(0, idea.first.find(':')));
  return kinds;
}

// For every pattern in a few keys, every idea is of its own kind, can be played at the level and reads back as it is.
TEST(Ideas, CanBePlayedAtTheLevel) {
  std::size_t given = 0;
  for (const Pattern& pattern : library()) {
    for (const int fifths : {-3, 0, 2}) {
      const Key key{PitchClass(fifths), pattern.mode};
      if (!key.can_be_written()) continue;
      const Analysis analysis = analyse(realised(pattern.progression, key));
      for (int number = level_of(analysis); number <= 8; ++number) {
        const auto ideas = ideas_for(analysis, level(number), pattern.id);
        EXPECT_LE(ideas.size(), 3U);
        std::set<std::string> kinds;
        for (const Idea& idea : ideas) {
          EXPECT_TRUE(kinds.insert(idea.kind).second) << pattern.id << " " << idea.kind;
          const auto read = parse_progression(idea.progression, "idea");
          ASSERT_TRUE(read) << idea.progression << ": " << read.error().message;
          std::vector<Chord> chords;
          for (const TimedChord& timed : timeline(*read, key).chords) {
            if (timed.chord) chords.push_back(*timed.chord);
          }
          EXPECT_EQ(chords, idea.chords) << idea.progression;
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

// What teachers propose for the commonest loop of pop songs (common practice, no source).
TEST(Ideas, ForFourChordsOfPop) {
  const auto ideas = all_ideas("key: C\n| C | G | Am | F |", 3);
  const auto says = [&](const std::string& idea) { return ideas.count(idea) == 0 ? "" : ideas.at(idea); };
  EXPECT_EQ(says("substitution: | C | G | Am | Dm |"), "Dm for F: two of its notes stay, the colour changes.");
  EXPECT_EQ(says("bass: | C | G/B | Am | F |"), "G/B for G: the bass walks by step, C B A.");
  EXPECT_EQ(says("applied dominant: | C | G E7 | Am | F |"),
            "E7 (V7/vi) before Am: a dominant of its own leads into it.");
  EXPECT_EQ(says("suspension: | C | Gsus4 G | Am | F |"), "Gsus4 before G: C waits, then falls to B.");
  EXPECT_NE(says("order: | F | C | G | Am |"), "");
  EXPECT_NE(says("silence: | C | G | Am | F N.C. |"), "");
  EXPECT_EQ(says("step up: | A7 | D | A | Bm | G |"),
            "For the last time a tone higher, in D major: A7 is its dominant.");
  EXPECT_GE(kinds_in(ideas).size(), 6U);
  EXPECT_TRUE(ideas_for(analysed("key: C\n| C |"), level(3)).empty());
}

// Bar by bar as harmony books and jazz method books give them: Open Music Theory, "Modal Mixture" (iv after IV),
// "Embellishing Chords" (passing diminished, ii-V), "Substitutions" (tritone); pedal points: common practice.
TEST(Ideas, OfTheHigherLevels) {
  EXPECT_EQ(all_ideas("key: C\n| C | F | C | G |", 4).at("colour: | C | F Fm | C | G |"),
            "Fm after F: A becomes Ab, a darker colour.");
  EXPECT_EQ(all_ideas("key: C\n| G | C | Dm | G |", 6).at("passing chord: | G | C C#dim7 | Dm | G |"),
            "C#dim7 between C and Dm: the bass climbs by semitones, C C# D.");
  EXPECT_EQ(all_ideas("key: C\n| C | F | G | C |", 5).count("pedal point: | C | F/C | G/C | C |"), 1U);
  EXPECT_EQ(all_ideas("key: C\n| C | F | G | C |", 5).count("sevenths: | Cmaj7 | Fmaj7 | G7 | Cmaj7 |"), 1U);
  const auto jazz = all_ideas("key: C\n| Cmaj7 | Am7 | Dm7 | G7 | Cmaj7 | Dm7 | G7 | Cmaj7 |", 7, "jazz-swing");
  EXPECT_EQ(jazz.at("two-five: | Cmaj7 | Em7b5 A7 | Dm7 | G7 |"),
            "Em7b5 and A7 for Am7: ii and V of Dm7, which comes next.");
  EXPECT_EQ(jazz.at("tritone substitute: | Cmaj7 | Dm7 | Db7 | Cmaj7 |"),
            "Db7 for G7: the same tritone, B and F, and the root falls a semitone to C.");
}

// A blues gets what blues players do (Open Music Theory, "Blues Harmony"), and nothing that belongs to a pop song.
TEST(Ideas, ForABlues) {
  const std::string blues = "key: C\n| C7 | C7 | C7 | C7 | F7 | F7 | C7 | C7 | G7 | F7 | C7 | C7 |";
  const auto ideas = all_ideas(blues, 7);
  EXPECT_EQ(ideas.at("quick change: | C7 | F7 | C7 | C7 |"),
            "F7 in bar 2 already (the quick change): the line moves sooner.");
  EXPECT_EQ(ideas.count("turnaround: | G7 | F7 | C7 A7 | Dm7 G7 |"), 1U);
  EXPECT_EQ(ideas.count("two-five: | Dm7 | G7 | C7 | C7 |"), 1U);
  EXPECT_EQ(ideas.count("passing chord: | F7 | F#dim7 | C7 | C7 |"), 1U);
  const std::set<std::string> kinds = kinds_in(ideas);
  for (const char* foreign : {"bridge", "order", "step up", "substitution", "sevenths"}) {
    EXPECT_EQ(kinds.count(foreign), 0U) << foreign;
  }
  // The style alone makes no blues, nor does it take one away.
  EXPECT_EQ(idiom_of(analysed(blues), "pop"), Idiom::blues);
  EXPECT_EQ(idiom_of(analysed("key: C\n| C | G | Am | F |"), "shuffle"), Idiom::pop);
  EXPECT_EQ(idiom_of(analysed("key: C\n| Dm7 | G7 | Cmaj7 | Cmaj7 |"), ""), Idiom::jazz);
  EXPECT_EQ(idiom_of(analysed("key: C\nmeter: 3/4\n| C | F | G | C |"), ""), Idiom::folk);
}

// Ten songs of a teacher's collection, three of them on the same loop: none gets what another one got.
TEST(Ideas, AreNotTheSameTwiceInACollection) {
  const std::vector<std::pair<std::string, std::string>> songs{
      {"The Boat at the Jetty", "key: C\n| C | G | Am | F | C | G | F | C |"},
      {"Paper Kites", "key: C\n| C | G | Am | F | C | G | Am | F |"},
      {"Late Train", "key: G\n| G | D | Em | C | G | D | Em | C |"},
      {"A Cat Called Monday", "key: F\n| F | Dm | Bb | C | F | Dm | Bb | C |"},
      {"Rain on Tin", "key: D\n| D | A | G | D | Bm | G | A | D |"},
      {"Harbour Lights Out", "key: A minor\n| Am | F | C | G | Am | F | E | Am |"},
      {"Old Stairs", "key: Bb\n| Bb | Eb | F | Bb | Gm | Eb | F | Bb |"},
      {"Window Seat", "key: C\n| Cmaj7 | Am7 | Dm7 | G7 | Em7 | A7 | Dm7 G7 | Cmaj7 |"},
      {"Kettle Blues", "key: F\n| F7 | F7 | F7 | F7 | Bb7 | Bb7 | F7 | F7 | C7 | Bb7 | F7 | F7 |"},
      {"Snow Walk", "key: E minor\n| Em | C | G | D | Em | C | D | Em |"},
  };
  std::set<std::string> texts, as_numerals, kinds;
  for (const auto& [title, text] : songs) {
    const Analysis analysis = analysed(text);
    const auto ideas = ideas_for(analysis, level(std::max(4, level_of(analysis))), title);
    EXPECT_EQ(ideas.size(), 3U) << title;
    for (const Idea& idea : ideas) {
      kinds.insert(idea.kind);
      EXPECT_TRUE(texts.insert(idea.progression + idea.text).second) << title << ": " << idea.progression;
      std::string numerals = idea.kind + ":";
      for (const Chord& chord : idea.chords) numerals += " " + to_string(numeral_of(chord, analysis.keys.main.key));
      EXPECT_TRUE(as_numerals.insert(numerals).second) << title << ": " << numerals;
    }
  }
  EXPECT_GE(kinds.size(), 8U);
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
