#include "theory/songs/printed_form.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "theory/songs/progression_writer.h"
#include "theory/songs/song_reading.h"

namespace romanesca {
namespace {

// How musicians print repeats, endings and "D.C." is common practice, no source; the songs are invented here.

SongReading read_printed(const std::string& text) {
  auto reading = read_song(text, "song");
  EXPECT_TRUE(reading) << text << "\n" << (reading ? "" : reading.error().message);
  return reading ? *reading : SongReading{};
}

/// The form in short: sections with their bars as played first, and the signs at them.
std::string signs_of(const Progression& song) {
  std::string text;
  for (const PrintedSection& section : printed_form(song).sections) {
    text += "[" + section.name + (section.times > 1 ? " x" + std::to_string(section.times) : "") + "]";
    if (section.is_recall()) {
      text += " = " + section.same_as + " ";
      continue;
    }
    for (const PrintedBar& bar : section.bars) {
      if (bar.opens) text += " |:";
      if (bar.ending > 0) text += " " + std::to_string(bar.ending) + "-" + std::to_string(bar.ending_to) + ".";
      text += " " + std::to_string(bar.bar);
      if (bar.ending_ends) text += "]";
      if (bar.closes > 0) text += " :|" + std::to_string(bar.closes);
      if (bar.fine) text += " Fine";
    }
    text += " " + std::string(to_string(section.jump));
  }
  return text;
}

TEST(PrintedForm, KeepsTheSignsOfTheText) {
  EXPECT_EQ(signs_of(read_printed("C G\nF C").progression), "[] 1 2 3 4 ");
  EXPECT_EQ(signs_of(read_printed("|: C | G :|").progression), "[] |: 1 2 :|2 ");
  EXPECT_EQ(signs_of(read_printed("C G Am F x4").progression), "[] |: 1 2 3 4 :|4 ");
  EXPECT_EQ(signs_of(read_printed("|: C | F |1. G :|2. C |").progression), "[] |: 1 2 1-1. 3] :|2 2-2. 6] ");
  EXPECT_EQ(signs_of(read_printed("|: C |1-3. G :|4. C |").progression).substr(0, 30), "[] |: 1 1-3. 2] :|2 4-4. 8] ");
}

TEST(PrintedForm, ASectionThatIsPlayedAgainIsANameAlone) {
  const SongReading song = read_printed("Verse\nC G Am F\n\nChorus x2\nF G\n\nVerse 2\n\nChorus");
  EXPECT_EQ(signs_of(song.progression), "[Verse] 1 2 3 4 [Chorus] |: 5 6 :|2 [Verse 2] = Verse [Chorus] = Chorus ");
  const PrintedForm form = printed_form(song.progression);
  EXPECT_EQ(form.bars_played, 16);
  EXPECT_EQ(form.bars(), 6);
  const std::vector<bool> on_paper = bars_on_paper(form);
  EXPECT_EQ(signs_of(read_printed("Chorus x2\nF G\n\nChorus x3").progression),
            "[Chorus] |: 1 2 :|2 [Chorus] |: 5 6 :|3 ");
  EXPECT_EQ(std::vector<bool>(on_paper.begin(), on_paper.begin() + 8),
            (std::vector<bool>{true, true, true, true, true, true, false, false}));
}

TEST(PrintedForm, GoesWithTheSongToAnotherKey) {
  const Progression song = read_printed("Key: C\n|: C | F |1. G :|2. C |").progression;
  EXPECT_EQ(write_progression(transposed(song, Interval::simple(2))), "key: D\n\n|: D | G |1. A :|2. D |\n");
}

TEST(PrintedForm, AFormThatDoesNotFitItsBarsIsNotUsed) {
  Progression song = read_printed("|: C | F :|").progression;
  ASSERT_TRUE(song.form);
  song.sections.front().rows.pop_back();
  EXPECT_EQ(signs_of(song), "[] 1 2 ");
}

/// Text, reading, text: the same form, bars and places of changes.
TEST(PrintedForm, TheCleanTextIsReadBack) {
  for (const char* text : {"Verse\nC G Am F\n\nChorus x2\nF G\n\nVerse 2\n\nChorus", "Chorus x2\nF G\n\nChorus x3",
                           "Hook x2\n|: C :|\nF\n\nHook x3", "A\nC G\nC C Fine\n\nB\nAm Em\nD.C. al Fine",
                           "3/4\nVerse\n|: C | F |1. G :|2. C |\n\nBridge\n4/4\nAm Dm\n\nVerse\n\nOutro\nF C",
                           "Key: C\nChorus\nC F G C\n\nLast Chorus (key change: now in D)",
                           "Verse\nC G\nhello there\n\nVerse\nwell well\n\nEnd\nF C",
                           "Intro\nC\nVerse\n|: C G | F :| x3\ntempo: 120\nAm F\nSame as intro"}) {
    const SongReading song = read_printed(text);
    const std::string clean = write_progression(song.progression);
    const SongReading again = read_printed(clean);
    EXPECT_EQ(write_progression(again.progression), clean) << text;
    EXPECT_EQ(signs_of(again.progression), signs_of(song.progression)) << clean;
    const Timeline before = timeline(song.progression, Key{});
    const Timeline after = timeline(again.progression, Key{});
    ASSERT_EQ(after.chords.size(), before.chords.size()) << clean;
    for (std::size_t i = 0; i < before.chords.size(); ++i) {
      EXPECT_EQ(after.chords[i].start, before.chords[i].start) << clean;
      EXPECT_EQ(*after.chords[i].chord, *before.chords[i].chord) << clean;
    }
  }
}

TEST(PrintedForm, ALastChorusInAnotherKeyIsMoved) {
  const SongReading song = read_printed("Key: C\nChorus\nC F G C\n\nLast Chorus (key change: now in D)");
  const Timeline line = timeline(song.progression, Key{});
  ASSERT_EQ(line.bars, 8);
  EXPECT_EQ(to_string(*line.chords[4].chord), "D");
  EXPECT_EQ(to_string(*line.chords[5].chord), "G");
  ASSERT_EQ(line.keys.size(), 1U);
  EXPECT_EQ(line.keys[0].bar, 5);
  // Where no key was stated the chords are taken as they are, and that is told.
  const SongReading open = read_printed("Chorus\nC F G C\n\nLast Chorus (key change: now in D)");
  EXPECT_EQ(to_string(*timeline(open.progression, Key{}).chords[4].chord), "C");
  EXPECT_TRUE(std::any_of(open.decisions.begin(), open.decisions.end(),
                          [](const SongNote& note) { return note.doubtful && note.line == 4; }));
}

}  // namespace
}  // namespace romanesca
