#include "progressions/level.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "progressions/library.h"
#include "progressions/simplification.h"
#include "theory/songs/progression.h"
#include "theory/songs/progression_text.h"
#include "theory/songs/progression_writer.h"

namespace romanesca {
namespace {

Analysis analysis_of(const std::string& text) { return analyse(*parse_progression(text, "t")); }

TEST(Levels, TheFileIsSound) {
  const auto read = read_levels(level_texts().front());
  ASSERT_TRUE(read) << read.error().place.line << ": " << read.error().message;
  ASSERT_EQ(read->size(), 8U);
}

// Nothing that a level may do is taken away by a higher one.
TEST(Levels, EachAllowsWhatTheOneBeforeDid) {
  for (int number = 2; number <= 8; ++number) {
    const Level& before = level(number - 1);
    const Level& here = level(number);
    EXPECT_GE(here.accidentals, before.accidentals);
    EXPECT_GE(here.inversions, before.inversions);
    EXPECT_GE(here.foreign, before.foreign);
    EXPECT_GE(here.chords_per_bar, before.chords_per_bar);
    EXPECT_GE(here.span, before.span);
    for (const ChordType type : before.chords) EXPECT_TRUE(here.allows(type)) << number << " " << name_of(type);
  }
}

TEST(Levels, OfPieces) {
  EXPECT_EQ(level_of(analysis_of("key: C\n| C | F | G | C |")), 1);
  EXPECT_EQ(level_of(analysis_of("key: C\n| C | F | G7 | C |")), 2);
  EXPECT_EQ(level_of(analysis_of("key: C\n| C | G/B | Am | F |")), 3);
  EXPECT_EQ(level_of(analysis_of("key: C\n| C | Fm | G | C |")), 4);
  EXPECT_EQ(level_of(analysis_of("key: C\n| Dm7 | G7 | Cmaj7 | Am7 |")), 5);
  EXPECT_EQ(level_of(analysis_of("key: F# \n| F# | B | C# | F# |")), 7);
}

TEST(Levels, FaultsHaveAPlace) {
  const auto fault = [](std::string_view text) { return read_levels({"levels", text}).error(); };
  EXPECT_NE(fault("[1]\nname = \"x\"\naccidentals = 9\n").message.find("accidentals must be 0 to 7"),
            std::string::npos);
  EXPECT_NE(fault("").message.find("level 1 is missing"), std::string::npos);
  EXPECT_EQ(fault("[1\n").place.line, 1);
  EXPECT_EQ(fault("# ø is fine here\n[1]\nname = \"ø\"\nspan ø = 7\n").place, (TextPlace{4, 6, 1}));
  EXPECT_EQ(fault("[1]\nname = 'ø'\n").place, (TextPlace{2, 8, 1}));
  EXPECT_EQ(fault("[1]\nname = \"\xFF\"\n").place, (TextPlace{2, 9, 1}));
  EXPECT_EQ(fault("[1]\n\n  [=]\n").place, (TextPlace{3, 4, 1}));
  EXPECT_EQ(fault("[1]\nspan \1 = 7\n").place, (TextPlace{2, 6, 1}));
}

// Letters with accents in a name come through the reader whole.
TEST(Levels, NamesMayHaveAccents) {
  std::string text(level_texts().front().text);
  const std::string name = "two or three chords of the key";
  text.replace(text.find(name), name.size(), "zwei Töne, três – 音");
  const auto read = read_levels({"levels", text});
  ASSERT_TRUE(read) << read.error().message;
  EXPECT_EQ(read->front().name, "zwei Töne, três – 音");
}

// Every library pattern in every key, simplified to every level, can be played at that level.
TEST(Simplification, ReachesTheLevel) {
  for (const Pattern& pattern : library()) {
    for (const Key& written : written_keys()) {
      const Key key{written.tonic, pattern.mode};
      if (!key.can_be_written()) continue;
      const Progression chords = realised(pattern.progression, key);
      const Analysis analysis = analyse(chords);
      for (const int number : {1, 2, 4, 6}) {
        const Simplification simple = simplified(chords, analysis, level(number));
        EXPECT_EQ(simple.progression.sections.size(), chords.sections.size());
        const Timeline line = timeline(simple.progression, simple.key);
        EXPECT_EQ(line.bars, analysis.timeline.bars);
        for (const TimedChord& timed : line.chords) {
          if (!timed.chord) continue;
          EXPECT_TRUE(level(number).allows(timed.chord->type))
              << pattern.id << " in " << to_string(key) << ", level " << number << ": " << to_string(*timed.chord);
          const int inversion = timed.chord->bass == timed.chord->root ? 0 : timed.chord->inversion().value_or(3);
          EXPECT_LE(inversion, level(number).inversions);
        }
        EXPECT_TRUE(level(number).allows(simple.key)) << to_string(simple.key);
      }
    }
  }
}

TEST(Simplification, SaysWhatItChanged) {
  const auto song = parse_progression("key: Ab\n| Ab | Fm7 | Db/F | Gdim Eb9 |", "t");
  const Simplification simple = simplified(*song, analyse(*song), level(2));
  EXPECT_EQ(to_string(simple.key), "G major");
  EXPECT_EQ(write_progression(simple.progression), "key: G major\n\n| G | Em | C | D D7 |\n");
  ASSERT_EQ(simple.changes.size(), 5U);
  EXPECT_EQ(simple.changes[0], "Ab major (4 flats) is now G major (1 sharp)");
  EXPECT_EQ(simple.changes[1], "Em7 is now Em");
  const auto minor = parse_progression("key: C minor\n| Cm | Dm7b5 | G7 | Cm |", "t");
  EXPECT_EQ(simplified(*minor, analyse(*minor), level(3)).changes[1], "C#m7b5 is now Em");
  const auto easy = parse_progression("key: C\n| C | F | G | C |", "t");
  EXPECT_TRUE(simplified(*easy, analyse(*easy), level(1)).changes.empty());
}

std::string simple_text(const std::string& text, int number) {
  const auto song = parse_progression(text, "t");
  const Simplification simple = simplified(*song, analyse(*song), level(number), analyse(*song).keys.main.key);
  std::string written = write_progression(simple.progression);
  written.erase(written.rfind('\n'));
  return written.substr(written.find('|'));
}

// What a teacher does by hand for a beginner: the function stays, and major stays major (common practice, no source).
TEST(Simplification, KeepsFunctionAndKind) {
  // The dominant of minor keeps its leading note; the chord on the lowered seventh degree stays major.
  EXPECT_EQ(simple_text("key: B minor\n| Bm | A | G | F#7 |", 1), "| Bm | A | G | F# |");
  EXPECT_EQ(simple_text("key: A minor\n| Am7 | Dm9 | E7(b9) | Am6 |", 1), "| Am | Dm | E | Am |");
  EXPECT_EQ(simple_text("key: A minor\n| Am | E7sus4 | E7 | Am |", 1), "| Am | E | E | Am |");
  // A suspension without its third gets the key's own.
  EXPECT_EQ(simple_text("key: C\n| C | Dsus4 | Gsus4 | C |", 1), "| C | Dm | G | C |");
  // An applied dominant stays one where the level has it.
  EXPECT_EQ(simple_text("key: C\n| C | A7(b9) | Dm7 | G13 |", 2), "| C | A7 | Dm | G7 |");
  EXPECT_EQ(simple_text("key: C\n| C | E7 | Am | G7 |", 3), "| C | E7 | Am | G7 |");
  // Diminished chords become the chord whose upper part they are: viio7 of ii its V7, ii of minor its iv, a ii before
  // its dominant the minor triad a third up.
  EXPECT_EQ(simple_text("key: C\n| C | C#dim7 | Dm | G |", 2), "| C | A7 | Dm | G |");
  EXPECT_EQ(simple_text("key: A minor\n| Am | Bm7b5 | E7 | Am |", 2), "| Am | Dm | E7 | Am |");
  EXPECT_EQ(simple_text("key: C\n| C | Bm7b5 | E7 | Am |", 2), "| C | Dm | E7 | Am |");
  // A borrowed chord is at home again only where the level has none.
  EXPECT_EQ(simple_text("key: C\n| C | Fm | G | C |", 4), "| C | Fm | G | C |");
  EXPECT_EQ(simple_text("key: C\n| C | Fm | G | C |", 2), "| C | F | G | C |");
}

// In a part in another key the chords of that key are at home.
TEST(Simplification, ReadsChordsInTheKeyOfTheirRegion) {
  const std::string song =
      "| G | C | D | G | C | G | D7 | G | Em | C | D | G | C | G | D7 | G | Bm | A | G | F#7 | Bm | A | G | F#7 | Bm | "
      "A "
      "| Em | F#7 | Bm | Em | F#7 | Bm |";
  EXPECT_EQ(simple_text(song, 2), song);
  const std::string step_up = "| C | Am7 | F | G7 | C | Am7 | F | G7 | D | Bm7 | G | A7 | D | Bm7 | G | A7 |";
  EXPECT_EQ(simple_text(step_up, 2), "| C | Am | F | G7 | C | Am | F | G7 | D | Bm | G | A7 | D | Bm | G | A7 |");
}

// Where a chord has to become one of another kind, a sentence says why.
TEST(Simplification, SaysWhereItHasNoOtherWay) {
  const auto changes = [](const std::string& text, int number) {
    const auto song = parse_progression(text, "t");
    return simplified(*song, analyse(*song), level(number)).changes;
  };
  EXPECT_EQ(
      changes("key: C\n| C | Fm | G | C |", 2),
      (std::vector<std::string>{"Fm is now F: the level has no such chord from outside the key; the sound changes"}));
  EXPECT_EQ(changes("key: C\n| C | Caug | F | G |", 2),
            (std::vector<std::string>{"Caug is now C: the level has no augmented triad; the sound changes"}));
  EXPECT_EQ(changes("key: C\n| Cmaj7 | F | G | C |", 2), (std::vector<std::string>{"Cmaj7 is now C"}));
}

// Over the library, whatever the level: a chord on the same root is of the same kind, or a sentence says that the sound
// changes; and a chord of its region's key is never replaced but by a part of itself.
TEST(Simplification, ChangesNoKindInSilence) {
  std::size_t replaced = 0;
  for (const Pattern& pattern : library()) {
    const Key key{PitchClass(1), pattern.mode};
    const Progression chords = realised(pattern.progression, key);
    const Analysis analysis = analyse(chords);
    for (int number = 1; number <= 8; ++number) {
      const Simplification simple = simplified(chords, analysis, level(number), analysis.keys.main.key);
      for (const SimplerChord& chord : simple.chords) {
        ++replaced;
        const bool more = (chord.after.sounding_tones() & ~chord.before.sounding_tones()) != 0;
        const bool said = std::any_of(simple.changes.begin(), simple.changes.end(), [&](const std::string& text) {
          return text.starts_with(to_string(chord.before) + " is now " + to_string(chord.after)) &&
                 text.ends_with("the sound changes");
        });
        EXPECT_EQ(more, said) << pattern.id << ": " << to_string(chord.before) << " " << to_string(chord.after);
        const bool same_kind = chord.before.type.is_minor() == chord.after.type.is_minor();
        if (chord.before.root == chord.after.root && !same_kind) {
          EXPECT_FALSE(is_diatonic(chord.before, key)) << pattern.id << ": " << to_string(chord.before);
        }
      }
    }
  }
  EXPECT_GT(replaced, 100U);
}

TEST(Simplification, LeavesTheStrongBeats) {
  const auto song = parse_progression("key: C\n| C Dm Em F | G |", "t");
  const Simplification simple = simplified(*song, analyse(*song), level(2));
  EXPECT_EQ(write_progression(simple.progression), "key: C\n\n| C Em | G |\n");
}

}  // namespace
}  // namespace romanesca
