#include "theory/songs/song_reading.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "theory/songs/progression_text.h"
#include "theory/songs/progression_writer.h"
#include "theory/text/decoding.h"

namespace romanesca {
namespace {

// What musicians write and mean in these texts is common practice, no source; the songs are invented here.

struct TypedSong {
  const char* name;
  const char* text;
  const char* bars;  ///< as played, in the plain form
};

std::ostream& operator<<(std::ostream& out, const TypedSong& song) { return out << song.name; }

/// The bars as played, "C | F G | Am".
std::string bars_of(const Progression& progression) {
  std::string text;
  const Timeline played = timeline(progression, Key{PitchClass(0), Mode::major});
  int bar = 0;
  for (const TimedChord& chord : played.chords) {
    if (chord.bar != bar) text += text.empty() ? "" : " | ";
    if (chord.bar == bar) text += " ";
    bar = chord.bar;
    text += chord.chord ? to_string(*chord.chord) : "N.C.";
  }
  return text;
}

SongReading read(const std::string& text, const SongReadingSettings& settings = {}) {
  auto reading = read_song(text, "song", settings);
  EXPECT_TRUE(reading) << text << "\n" << (reading ? "" : reading.error().message);
  return reading ? *reading : SongReading{};
}

class Typed : public testing::TestWithParam<TypedSong> {};

TEST_P(Typed, IsReadAsMusiciansMeanIt) { EXPECT_EQ(bars_of(read(GetParam().text).progression), GetParam().bars); }

/// A packet holds the song so, and reads it with the plain reader alone.
TEST_P(Typed, IsTheSameWrittenAsPlayed) {
  const Progression song = read(GetParam().text).progression;
  const std::string plain = write_as_played(song);
  const auto again = parse_progression(plain, "plain");
  ASSERT_TRUE(again) << plain << again.error().message;
  EXPECT_EQ(bars_of(*again), bars_of(song)) << plain;
  const Timeline before = timeline(song, Key{});
  const Timeline after = timeline(*again, Key{});
  ASSERT_EQ(after.chords.size(), before.chords.size());
  for (std::size_t i = 0; i < before.chords.size(); ++i) {
    EXPECT_EQ(after.chords[i].start, before.chords[i].start);
    EXPECT_EQ(after.chords[i].length, before.chords[i].length);
    EXPECT_EQ(after.chords[i].section, before.chords[i].section);
  }
  ASSERT_EQ(after.keys.size(), before.keys.size());
  for (std::size_t i = 0; i < before.keys.size(); ++i) EXPECT_EQ(after.keys[i].bar, before.keys[i].bar);
  EXPECT_EQ(again->tempo_bpm, song.tempo_bpm);
  const std::vector<std::string> words = words_by_chord(song);
  EXPECT_EQ(words.size(), words.empty() ? 0 : before.chords.size());
}

INSTANTIATE_TEST_SUITE_P(
    SongReading, Typed,
    testing::Values(
        TypedSong{"lower case", "c am f g", "C | Am | F | G"}, TypedSong{"mixed case", "C am F g", "C | Am | F | G"},
        TypedSong{"small letters for minor", "a d E7 a\nF C G C", "Am | Dm | E7 | Am | F | C | G | C"},
        TypedSong{"German", "h e fis h\nG A D fis", "Bm | Em | F#m | Bm | G | A | D | F#m"},
        TypedSong{"German flats", "Es As B7 Es", "Eb | Ab | Bb7 | Eb"},
        TypedSong{"German mode words", "Es-Dur\nEs c-moll As B", "Eb | Cm | Ab | Bb"},
        TypedSong{"solfege", "Do Sol Lam Fa", "C | G | Am | F"},
        TypedSong{"solfege in capitals", "DO | SOL | LAm | SIb", "C | G | Am | Bb"},
        TypedSong{"triangle from a keyboard", "C^7 F^7", "Cmaj7 | Fmaj7"},
        TypedSong{"a blank before the quality", "C maj7, D min, G dom7", "Cmaj7 | Dm | G7"},
        TypedSong{"a footnote and a bracket", "| C* | (G7) |", "C | G7"},
        TypedSong{"words in capitals", "CMAJ7 DMIN7 G7SUS4", "Cmaj7 | Dm7 | G7sus4"},
        TypedSong{"commas", "Am, F, C, G", "Am | F | C | G"}, TypedSong{"hyphens", "C-G-Am-F", "C | G | Am | F"},
        TypedSong{"a hyphen that is a minor sign", "C-7 F7 Bb^7", "Cm7 | F7 | Bbmaj7"},
        TypedSong{"dashes and arrows", "C – G → Am -> F", "C | G | Am | F"},
        TypedSong{"stars", "Am * F * C * G", "Am | F | C | G"},
        TypedSong{"strokes that part", "C / G / Am / F", "C | G | Am | F"},
        TypedSong{"then", "C, then G, then Am", "C | G | Am"}, TypedSong{"double bars", "|| C || F G ||", "C | F G"},
        TypedSong{"numbered bars", "1. C\n2. G\n3. F G\n", "C | G | F | G"},
        TypedSong{"named bars", "Bar 1: C\nBar 2: G\nBars 3-4: Am F", "C | G | Am | F"},
        TypedSong{"bars of a chord", "Am 2x, F (2 bars) C x3", "Am | Am | F | F | C | C | C"},
        TypedSong{"strokes for beats", "| C /// | F / G / |", "C | F G"},
        TypedSong{"points for beats", "| C . . . | F . G . |", "C | F G"},
        TypedSong{"hyphens for beats", "C - - - | F - G - |", "C | F G"},
        TypedSong{"repeated bars", "| C | % | ./. | G |", "C | C | C | G"},
        TypedSong{"times", "C G (x2)\nF G", "C | G | C | G | F | G"},
        TypedSong{"times of a bracket", "(C G)x2 F", "C | G | C | G | F"},
        TypedSong{"repeat signs", "|: C | G :|: F | G :| x3", "C | G | C | G | F | G | F | G | F | G"},
        TypedSong{"endings", "|: C | F |1. G :|2. C |", "C | F | G | C | F | C"},
        TypedSong{"endings in brackets", "|: C | [1 G :| [2 F :|\nAm", "C | G | C | F | Am"},
        TypedSong{"an ending over two lines", "|: C | Dm |1. F | G :|\n|2. G | C |\nF",
                  "C | Dm | F | G | C | Dm | G | C | F"},
        TypedSong{"a recalled section", "Verse: C G\nChorus: F G\nVerse", "C | G | F | G | C | G"},
        TypedSong{"a section twice", "Verse\nC G\nChorus x2\nF G", "C | G | F | G | F | G"},
        TypedSong{"same as", "Verse 1\nC G\nVerse 2: same as verse 1", "C | G | C | G"},
        TypedSong{"same", "Verse 1\nC G\nVerse 2 (same)\nChorus\nF", "C | G | C | G | F"},
        TypedSong{"letters for parts", "A\nC G C\n\nB\nF G F\n\nA", "C | G | C | F | G | F | C | G | C"},
        TypedSong{"an order", "Form: A B A\n\nA\n| C | G |\nB\n| F | G |", "C | G | F | G | C | G"},
        TypedSong{"da capo", "A\n| C | G | Fine\n\nB\n| F | G |\nD.C. al Fine", "C | G | F | G | C | G"},
        TypedSong{"to the coda", "Verse\nC G\nTo Coda\nChorus\nF G\nD.C. al Coda\nCoda\nAm",
                  "C | G | F | G | C | G | Am"},
        TypedSong{"a sign on its own line", "Verse\n| C | G |\nSegno\n| F | Am |\n| Dm | G | D.S.",
                  "C | G | F | Am | Dm | G | F | Am | Dm | G"},
        TypedSong{"two signs in a line",
                  "Verse\n| C | G |\nSegno | F | Am | To Coda\n| Dm | G |\nD.S. al Coda\nCoda\n| C | C |",
                  "C | G | F | Am | Dm | G | F | Am | C | C"},
        TypedSong{"a count alone", "Chorus\nF G\n(x2)", "F | G | F | G"},
        TypedSong{"words under chords", "C     G\nHello little\nAm    F\nsnail of mine", "C | G | Am | F"},
        TypedSong{"chords among words", "Hello [C]world and [G]moon\n[Am]how are [F]you", "C | G | Am | F"},
        TypedSong{"a word that is a chord", "(D) A mouse has (G) made a boat", "D | G"},
        TypedSong{"shapes", "G: 320003\nC: x32010\n\nG C G", "G | C | G"},
        TypedSong{"a tab", "Intro\nE|-0-2-3-|\n\nVerse\nEm G", "Em | G"},
        TypedSong{"strokes of a guitar", "Strum: D DU UDU\nEm G", "Em | G"},
        TypedSong{"a table", "| Part | 1 | 2 |\n|---|---|---|\n| Verse | C | G |\n| | F | |", "C | G | F"},
        TypedSong{"a list", "- C\n- G\n", "C | G"},
        TypedSong{"a quoted letter", "> Hi,\n> here it is:\n> Verse: C G\n> Best, Ada", "C | G"},
        TypedSong{"no chord", "Intro: N.C. (2 bars)\nVerse: C G", "N.C. | N.C. | C | G"},
        TypedSong{"old line ends", "C G\rAm F\r", "C | G | Am | F"},
        TypedSong{"numbers", "key: C\n1-5-6m-4", "C | G | Am | F"},
        TypedSong{"plain numbers", "1 5 6 4", "C | G | Am | F"},
        TypedSong{"numbers that name minor", "1 6m 2 5", "C | Am | D | G"},
        TypedSong{"a capo", "Capo 2\nG D Em C", "A | E | F#m | D"}));

struct Refused {
  const char* text;
  int line;
};

class MustBeRefused : public testing::TestWithParam<Refused> {};

TEST_P(MustBeRefused, AtItsLine) {
  const auto reading = read_song(GetParam().text, "song");
  ASSERT_FALSE(reading);
  EXPECT_EQ(reading.error().place.line, GetParam().line) << reading.error().message;
}

INSTANTIATE_TEST_SUITE_P(SongReading, MustBeRefused,
                         testing::Values(Refused{"Verse: C F\nChorus: F G\nrepeat bridge", 3},
                                         Refused{"Key of G\n1 5 6m\n1 9 4", 3}, Refused{"Verse\n| C | Jm7 | G |", 2},
                                         Refused{"C/X | F", 1}, Refused{"3/4\n4/4\nC G", 2},
                                         Refused{"A lantern in a window\na lantern by the sea", 1},
                                         Refused{"Intro\nC G x200", 2}, Refused{"| C / / / |\n| G / / / / / |", 2},
                                         Refused{"Verse\nC G\nChorus (x1000)\nF", 3},
                                         Refused{"key: Z\n\nVerse\nC G", 1}, Refused{"C Am F Jq7", 1}));

TEST(SongReading, HeadersInWords) {
  const SongReading song = read("Paper Moth\nby Odo Plimm\n\nKey: D    bpm 116\n3/4\n\nVerse\nD A");
  EXPECT_EQ(song.progression.title, "Paper Moth");
  EXPECT_EQ(song.progression.key, parse_key("D"));
  EXPECT_EQ(song.progression.tempo_bpm, 116);
  EXPECT_EQ(song.progression.meter(), (Meter{3, 4}));
  EXPECT_EQ(song.progression.composer, "Odo Plimm");
  EXPECT_TRUE(song.left_out.empty());
}

TEST(SongReading, WhoMadeIt) {
  EXPECT_EQ(read("words and music: Ada Reed\n\nC G").progression.composer, "Ada Reed");
  EXPECT_EQ(read("composer: Ada Reed\n\n| C | G |").progression.composer, "Ada Reed");
  // Who arranged it or holds the rights has not composed it.
  EXPECT_EQ(read("Paper Moth\narranged by Odo Plimm\n\nC G").progression.composer, "");
  // Under chords it is sung.
  const SongReading sung = read("Verse\nC G\nby Tom and by me\nF C\nby the sea");
  EXPECT_EQ(sung.progression.composer, "");
  EXPECT_TRUE(sung.left_out.empty());
  EXPECT_NE(write_progression(sung.progression).find("the sea"), std::string::npos);
}

TEST(SongReading, OtherMetersAreTold) {
  for (const auto& [line, meter] : {std::pair{"time: 2/2", Meter{4, 4}},
                                    {"cut time", {4, 4}},
                                    {"meter: 3/8", {3, 4}},
                                    {"6/4", {6, 8}},
                                    {"meter: 4/8", {2, 4}}}) {
    const SongReading song = read(std::string(line) + "\n| C | G |");
    EXPECT_EQ(song.progression.meter(), meter) << line;
    ASSERT_EQ(song.decisions.size(), 1U) << line;
    EXPECT_NE(song.decisions.front().text.find("read as"), std::string::npos);
  }
}

TEST(SongReading, ATitleThatIsStatedCountsBeforeTheFirstLine) {
  EXPECT_EQ(read("# for Monday\nby hand\ntitle: Paper Moth\n\nVerse\nD A").progression.title, "Paper Moth");
  EXPECT_EQ(read("# Paper Moth\n\nVerse\nD A").progression.title, "Paper Moth");
}

TEST(SongReading, SectionsAreToldAsPlayed) {
  const SongReading song = read("Verse 1\nC G Am F\nChorus x2\nF G\nVerse 2\nChorus");
  ASSERT_EQ(song.sections.size(), 4U);
  EXPECT_EQ(song.sections[1].bars, 4);
  EXPECT_EQ(song.sections[1].times, 2);
  EXPECT_EQ(song.sections[2].name, "Verse 2");
  EXPECT_EQ(song.sections[2].recalls, "Verse 1");
  EXPECT_EQ(song.sections[3].bars, 4);
}

TEST(SongReading, WhatIsClearIsNotTold) {
  for (const char* text : {"| C | Am | F | G |", "title: T\nkey: C\n[Verse]\n| C | G |", "Verse: C G\nChorus: F G",
                           "C     G\nHello little snail", "C B Am B"}) {
    const SongReading song = read(text);
    EXPECT_TRUE(std::none_of(song.decisions.begin(), song.decisions.end(), [](const SongNote& note) {
      return note.doubtful;
    })) << text;
    EXPECT_TRUE(song.left_out.empty()) << text;
  }
}

TEST(SongReading, WhatIsDoubtfulIsTold) {
  for (const char* text : {"h e fis h", "C a F G", "1 5 6 4", "Capo 3\nG D", "C / G / Am / F", "Verse\nC G\nVerse 2"}) {
    const SongReading song = read(text);
    EXPECT_TRUE(std::any_of(song.decisions.begin(), song.decisions.end(), [](const SongNote& note) {
      return note.doubtful;
    })) << text;
  }
}

TEST(SongReading, TheEndOfALetterIsNotSung) {
  const SongReading song = read("Verse: C G\nF G\n\nVerse\n\nthanks!\nMo");
  ASSERT_EQ(song.progression.sections.size(), 2U);
  EXPECT_TRUE(song.progression.sections[1].rows[0].words.empty());
  EXPECT_EQ(song.left_out.size(), 2U);
  // Words under the heading of a section that is known are.
  const SongReading sung = read("Verse: C G\nF G\n\nVerse\n\nlittle snail\nlittle shell");
  EXPECT_EQ(sung.progression.sections[1].rows[1].words.back(), "little shell");
}

TEST(SongReading, NamesThatAreStatedCount) {
  EXPECT_EQ(bars_of(read("B F C").progression), "B | F | C");
  EXPECT_EQ(bars_of(read("B F C", {NoteNames::german}).progression), "Bb | F | C");
  EXPECT_EQ(bars_of(read("names: german\nB F C").progression), "Bb | F | C");
}

TEST(SongReading, WordsStayWithTheirChords) {
  const SongReading song = read("Verse\nC       G\nDo you  see the\n  Am   F\nA frog upon");
  const auto& rows = song.progression.sections.front().rows;
  ASSERT_EQ(rows.size(), 2U);
  EXPECT_EQ(rows[0].words, (std::vector<std::string>{"", "Do you  ", "see the"}));
  EXPECT_EQ(rows[1].words, (std::vector<std::string>{"A ", "frog ", "upon"}));
}

TEST(SongReading, TheCleanFormIsReadBackTheSame) {
  for (const char* text :
       {"C       G\nDo you  see the\n  Am   F\nA frog upon", "Hello [C]world [G]moon", "Capo 2\nKey: G\nG D Em C",
        "Verse 1\nC G\nChorus x2\nF G\nVerse 1", "|: C | F |1. G :|2. C |"}) {
    const SongReading song = read(text);
    const std::string clean = write_progression(song.progression);
    const SongReading again = read(clean);
    EXPECT_EQ(write_progression(again.progression), clean) << text;
    EXPECT_EQ(bars_of(again.progression), bars_of(song.progression));
  }
}

/// Repeats of repeats end with an error, not with the memory.
TEST(SongReading, EndlessRepeatsAreRefusedAtTheirPlace) {
  std::string text = "A:\nC G x99\n(x99)\n";
  for (char part = 'B'; part < 'H'; ++part) text += std::string(1, part) + ": same as A x99\n";
  const auto reading = read_song(text, "song");
  ASSERT_FALSE(reading);
  EXPECT_GT(reading.error().place.line, 0);
  std::string many = "Verse: C G\n";
  while (many.size() < 300'000) many += "Verse x99\n";
  EXPECT_FALSE(read_song(many, "song"));
}

TEST(Decoding, EveryTextFileOfAComputer) {
  using namespace std::string_literals;
  EXPECT_EQ(decode_text("C G\n").from, "");
  EXPECT_EQ(decode_text("\xFF\xFE"s + "C\0\x6D\x26\n\0"s).text, "C♭\n");  // U+266D, little end first
  EXPECT_EQ(decode_text("\xFE\xFF"s + "\0C\x26\x6D\0\n"s).text, "C♭\n");
  EXPECT_EQ(decode_text("C\0 \0G\0\n\0"s).text, "C G\n");  // without a mark
  EXPECT_EQ(decode_text("Chor: viele Gr\xFC\xDF"
                        "e \x96 C\n")
                .text,
            "Chor: viele Grüße – C\n");
  const std::string sound = "RIFF\x24\0\x01\x02WAVEfmt \x10\0\0\0"s;
  EXPECT_EQ(decode_text(sound).text, sound);
  const std::string picture = "\xFF\xD8\xFF\xE0\x80\x91\xA2";
  EXPECT_EQ(decode_text(picture).text, picture);
}

TEST(SongReading, NamesThatAreUsualCountWhereTheTextShowsNone) {
  const SongReadingSettings german{std::nullopt, NoteNames::german};
  EXPECT_EQ(bars_of(read("B F C", german).progression), "Bb | F | C");
  EXPECT_EQ(read("B F C", german).progression.names, NoteNames::german);
  EXPECT_EQ(bars_of(read("Bb F B7 C", german).progression), "Bb | F | B7 | C") << "Bb is English";
  EXPECT_EQ(write_progression(read("H F C").progression), "names: german\n\n| H | F | C |\n");
  EXPECT_EQ(write_progression(read("Do Sol Lam Fa").progression), "names: solfege\n\n| Do | Sol | Lam | Fa |\n");
}

/// The chords of a song, one name after another, as read.
std::string read_as(std::string_view text) {
  const auto song = read_song(text, "song");
  if (!song) return song.error().message;
  std::string names;
  for (const TimedChord& timed : timeline(song->progression, Key{}).chords) {
    names += (names.empty() ? "" : " ") + (timed.chord ? to_string(*timed.chord) : "-");
  }
  return names;
}

TEST(SongReading, ADoubtfulDecisionSaysWhatWouldUndoIt) {
  struct Case {
    std::string text, decided, read, otherwise;
  };
  const Case cases[] = {
      {"Strophe:\nH E7 B A\n", "German names", "B E7 Bb A", "unknown chord \"H\""},
      {"Verse:\nC F G C\nx2\n", "the count stands alone", "C F G C C F G C", "C F G C"},
      {"Verse\nC F\nChorus\nG C\nVerse 2\nChorus\n", "no chords of its own", "C F G C C F G C", "C F G C G C"},
      {"A\nC F G C\nB\nAm F G E\n", "names of parts", "C F G C Am F G E", "A C F G C B Am F G E"},
  };
  for (const Case& each : cases) {
    EXPECT_EQ(read_as(each.text), each.read) << each.text;
    const auto song = read_song(each.text, "song");
    ASSERT_TRUE(song) << each.text;
    const auto note = std::find_if(song->decisions.begin(), song->decisions.end(), [&](const SongNote& decision) {
      return decision.text.find(each.decided) != std::string::npos;
    });
    ASSERT_NE(note, song->decisions.end()) << each.text;
    ASSERT_FALSE(note->otherwise.empty()) << each.text;
    EXPECT_EQ(read_as(edited(each.text, note->otherwise)), each.otherwise) << edited(each.text, note->otherwise);
  }
}

TEST(SongReading, LinesAreEditedWhereTheyStand) {
  EXPECT_EQ(edited("a\nb\nc", {{2, ""}}), "a\nc");
  EXPECT_EQ(edited("a\nb\nc", {{3, "d"}}), "a\nb\nd\n");
  EXPECT_EQ(edited("a\n", {{0, "first"}, {1, "b"}}), "first\nb\n");
  EXPECT_EQ(edited("", {{0, "first"}}), "first\n");
}

}  // namespace
}  // namespace romanesca
