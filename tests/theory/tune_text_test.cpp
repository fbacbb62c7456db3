#include <gtest/gtest.h>

#include "theory/songs/progression_writer.h"
#include "theory/songs/song_reading.h"
#include "theory/songs/song_tune.h"
#include "theory/text/characters.h"
#include "theory/tunes/verses.h"

namespace romanesca {
namespace {

// The note syntax is that of ABC 2.1 (the sections are named in theory/tunes/music_code.cpp); where the lengths and
// pitches below come from. Songs and words are invented here.

Progression song_of(const std::string& text) {
  auto reading = read_song(text, "song");
  EXPECT_TRUE(reading) << text << "\n" << (reading ? "" : reading.error().message);
  return reading ? reading->progression : Progression{};
}

std::string fraction(Beats time) {
  return std::to_string(time.numerator()) + (time.denominator() == 1 ? "" : "/" + std::to_string(time.denominator()));
}

/// "upbeat 1: G4 -1+1 row- C4 0+2 ..." in quarter notes.
std::string in_short(const Tune& tune) {
  std::string text = tune.upbeat == Beats(0) ? "" : "upbeat " + fraction(tune.upbeat) + ": ";
  for (const TuneNote& note : tune.notes) {
    text += to_string(note.pitch) + " " + fraction(note.start) + "+" + fraction(note.length);
    if (!note.syllable.empty()) {
      text += " " + note.syllable + (note.end == SyllableEnd::hyphen ? "-" : note.end == SyllableEnd::held ? "_" : "");
    }
    text += ", ";
  }
  return text.substr(0, text.empty() ? 0 : text.size() - 2);
}

std::string tune_in(const std::string& text, const Key& key = {}) { return in_short(tune_of(song_of(text), key)); }

std::string error_in(const std::string& text) {
  const auto reading = read_song(text, "song");
  if (reading) return "none";
  const TextError& error = reading.error();
  return std::to_string(error.place.line) + ":" + std::to_string(error.place.column) + "+" +
         std::to_string(error.place.width) + " " + error.message;
}

TEST(TuneText, LettersAndLengths) {
  EXPECT_EQ(tune_in("| C | G |\ntune: C2 D2 E4 | c c' C, z5 |"),
            "C4 0+1, D4 1+1, E4 2+2, C5 4+1/2, C6 9/2+1/2, C3 5+1/2");
  EXPECT_EQ(tune_in("| C |\ntune: C3/2 D/ E/F/ G// A// z3/2 B3 |"),
            "C4 0+3/4, D4 3/4+1/4, E4 1+1/4, F4 5/4+1/4, G4 3/2+1/8, A4 13/8+1/8, B4 5/2+3/2");
  // Broken rhythm, section 4.4: A>B is A3/2 B/2; A<<B is A/4 B7/4.
  EXPECT_EQ(tune_in("| C |\ntune: A2>B2 A2<<B2 |"), "A4 0+3/2, B4 3/2+1/2, A4 2+1/4, B4 9/4+7/4");
  // Triplets, section 4.13: three in the time of two; in 6/8 two in the time of three.
  EXPECT_EQ(tune_in("| C |\ntune: (3CDE F2 (3G2A2B2 |"),
            "C4 0+1/3, D4 1/3+1/3, E4 2/3+1/3, F4 1+1, G4 2+2/3, A4 8/3+2/3, B4 10/3+2/3");
  EXPECT_EQ(tune_in("meter: 6/8\n| C |\ntune: (2CD E3 |"), "C4 0+3/4, D4 3/4+3/4, E4 3/2+3/2");
}

/// What a verse sings, from 0: "The snow- came".
std::string verse_of(const Progression& song, std::size_t verse) {
  std::string text;
  for (const TuneNote& note : tune_of(song, {}).notes) {
    const Syllable sung = syllable_of(note, verse);
    text += text.empty() ? "" : " ";
    text += sung.text.empty() ? "." : sung.text;
    text += sung.end == SyllableEnd::hyphen ? "-" : sung.end == SyllableEnd::held ? "_" : "";
  }
  return text;
}

TEST(TuneText, FurtherLinesOfWordsAreVerses) {
  const Progression song = song_of(
      "| C | G |\ntune: C2 D2 E2 F2 | G4 A4 |\nwords: 1. The sun went down_ now\n"
      "words: 2. The rain came up a-gain\n\n| F | C |\ntune: A4 G4 | C8 |\nwords: La la la\n");
  EXPECT_EQ(verse_of(song, 0), "The sun went down_ . now La la la");
  EXPECT_EQ(verse_of(song, 1), "The rain came up a- gain . . .");
  EXPECT_EQ(song.sections[0].rows[0].words, (std::vector<std::string>{"", "The sun went down ", "now"}));
  // Only its own number is one: this is a word.
  EXPECT_EQ(verse_of(song_of("| C |\ntune: C2 D2 E4 |\nwords: 2. by 2.\n"), 0), "2. by 2.");
}

TEST(TuneText, VersesAreWrittenAsTheyAreRead) {
  const std::vector<std::string> songs{
      "| C | G |\ntune: | C2 D2 E2 F2 | G4 A4 |\nwords: The sun went down_ now\nwords: The rain came up a-gain\n",
      // A line of which only the third verse has words.
      "| C |\ntune: | C4 E4 |\nwords: One two\nwords:\nwords: Five six\n",
      "| C |\ntune: | C4 E4 |\nwords:\nwords: Three four\n",
      // A word that looks like the number of its verse.
      "| C |\ntune: | C4 E4 |\nwords: \\1. two\nwords: One two\n",
      // In a recalled section with words of its own the other verses are not sung.
      "[Verse]\n| C |\ntune: | C4 E4 |\nwords: One two\nwords: Three four\n\n[Chorus]\n| F |\n\n[Verse]\n| C |\n"
      "tune: | C4 E4 |\nwords: Five six\n",
  };
  for (const std::string& text : songs) EXPECT_EQ(write_progression(song_of(text)), text);
  const std::string recalled =
      "[Verse]\n| C |\ntune: C4 E4 |\nwords: A b\nwords: C d\n[Chorus]\n| F |\n[Verse]\nwords: E f\n";
  EXPECT_EQ(verse_of(song_of(recalled), 1), "C d . .");
}

TEST(TuneText, ALineOfAVerseMustFitItsNotes) {
  EXPECT_EQ(error_in("| C |\ntune: C4 E4 |\nwords: One two\nwords: Three four five\n"),
            "4:19+4 3 syllables for 2 notes: there is no note for this one");
  // A tenth verse is left out, and told.
  std::string text = "| C |\ntune: C4 E4 |\n";
  for (int verse = 0; verse < 10; ++verse) text += "words: La la\n";
  const auto reading = read_song(text, "song");
  ASSERT_TRUE(reading);
  EXPECT_EQ(count_verses(tune_of(reading->progression, {}).notes), most_verses);
  ASSERT_EQ(reading->left_out.size(), 1U);
  EXPECT_EQ(reading->left_out[0].line, 12);
}

TEST(TuneText, AccidentalsCountAsOnTheStaff) {
  // Sections 4.2 and 11.3: an accidental counts to the end of the bar.
  EXPECT_EQ(tune_in("key: G\n| G | D |\ntune: F2 =F2 F2 ^F2 | F2 _B2 B2 __B2 |"),
            "F#4 0+1, F4 1+1, F4 2+1, F#4 3+1, F#4 4+1, Bb4 5+1, Bb4 6+1, Bbb4 7+1");
  EXPECT_EQ(tune_in("key: E minor\n| Em |\ntune: ^D2 F2 D2 =D2 |"), "D#4 0+1, F#4 1+1, D#4 2+1, D4 3+1");
  EXPECT_EQ(tune_in("| C |\ntune: ♯F2 ♭B2 ♮B4 |"), "F#4 0+1, Bb4 1+1, B4 2+2");
  // A key change counts from its row on.
  EXPECT_EQ(tune_in("key: C major\n| C |\ntune: F8\nkey: D major\n| D |\ntune: F8"), "F4 0+4, F#4 4+4");
}

TEST(TuneText, TiesUpbeatsAndRests) {
  EXPECT_EQ(tune_in("| C | G |\ntune: C4 D4- | D2 z2 E4 |"), "C4 0+2, D4 2+3, E4 6+2");
  EXPECT_EQ(tune_in("| C |\ntune: ^F8-\n| C |\ntune: F2 F6"), "F#4 0+5, F4 5+3");
  EXPECT_EQ(tune_in("| C | G |\ntune: G2 | c4 B4 | Z |"), "upbeat 1: G4 -1+1, C5 0+2, B4 2+2");
  // A later line's upbeat sounds at the end of the bar before, which may be short by it.
  EXPECT_EQ(tune_in("| C | G |\ntune: G2 | c8 | d6 |\n| C | G |\ntune: G2 | e8 | c6 |"),
            "upbeat 1: G4 -1+1, C5 0+4, D5 4+3, G4 7+1, E5 8+4, C5 12+3");
  // Without chords.
  EXPECT_EQ(tune_in("tune: C4 E4 | G8 |"), "C4 0+2, E4 2+2, G4 4+4");
}

TEST(TuneText, SyllablesUnderNotes) {
  EXPECT_EQ(tune_in("| C | G |\ntune: G2 | c2 d2 e2 f2 | g4- g2 z2 |\nwords: The ri-ver goes_ home"),
            "upbeat 1: G4 -1+1 The, C5 0+1 ri-, D5 1+1 ver, E5 2+1 goes_, F5 3+1, G5 4+3 home");
  EXPECT_EQ(tune_in("| C |\ntune: C2 D2 E2 F2\nA-_men *"), "C4 0+1 A-, D4 1+1, E4 2+1 men, F4 3+1");
  EXPECT_EQ(tune_in("| C | C |\ntune: C2 D6 | E8\nw: the~old | tree"), "C4 0+1 the old, D4 1+3, E4 4+4 tree");
  // The words stand under the chords too, for charts.
  const Progression song = song_of("| C G |\ntune: C2 D2 E2 F2\nwords: ri-ver go-ing");
  EXPECT_EQ(words_by_chord(song), (std::vector<std::string>{"river ", "going"}));
}

TEST(WordsByChord, ArePutBack) {
  for (const char* text : {"| C | Am |\n> Lan-tern, | lan-tern, walk with me\n| F | G |\n> down | by the ri-ver\n",
                           "| C G | % | - F |\n> one two\n", "| C | Am |\n", "| C |\n> la\n| % | F |\n> oh\n"}) {
    const Progression song = song_of(text);
    const std::vector<std::string> words = words_by_chord(song);
    Progression other = song;
    put_words_by_chord(other, {});
    EXPECT_TRUE(words_by_chord(other).empty()) << text;
    put_words_by_chord(other, words);
    const std::vector<std::string> again = words_by_chord(other);
    ASSERT_EQ(again.size(), words.size()) << text;
    for (std::size_t i = 0; i < words.size(); ++i) EXPECT_EQ(trimmed(again[i]), trimmed(words[i])) << text;
  }
}

TEST(TuneText, RepeatsAndRecalledSectionsHaveTheTune) {
  EXPECT_EQ(tune_in("|: C |1. G :|2. C |\ntune: | C8 | G8 | c8 |"), "C4 0+4, G4 4+4, C4 8+4, C5 12+4");
  // The upbeat is played again before the repeat.
  EXPECT_EQ(tune_in("|: C | G :|\ntune: G2 | c8 | d6 :|"),
            "upbeat 1: G4 -1+1, C5 0+4, D5 4+3, G4 7+1, C5 8+4, D5 12+3");
  EXPECT_EQ(tune_in("[Verse]\n| C |\ntune: C4 D4\nwords: one two\n\n[Verse 2]\nwords: three four"),
            "C4 0+2 one, D4 2+2 two, C4 4+2 three, D4 6+2 four");
}

TEST(TuneText, MovesWithItsChords) {
  const Progression song = song_of("key: C major\n| C | G |\ntune: C4 E4 | ^F8 |");
  const auto moved = [&](const char* tonic) {
    return in_short(tune_of(transposed(song, *parse_pitch_class(tonic) - PitchClass(0)), {}));
  };
  EXPECT_EQ(moved("Eb"), "Eb4 0+2, G4 2+2, A4 4+4");
  // The nearest way: a fourth down, not a fifth up; a semitone down, not a major seventh up.
  EXPECT_EQ(moved("G"), "G3 0+2, B3 2+2, C#4 4+4");
  EXPECT_EQ(moved("B"), "B3 0+2, D#4 2+2, E#4 4+4");
  EXPECT_EQ(moved("F#"), "F#4 0+2, A#4 2+2, B#4 4+4");
  // Numerals: in the key that is asked for, from the written one.
  const std::string text = "key: D\nI V\ntune: D8 | E8";
  EXPECT_EQ(tune_in(text, {PitchClass(2)}), "D4 0+4, E4 4+4");
  EXPECT_EQ(tune_in(text, {PitchClass(0)}), "C4 0+4, D4 4+4");
  EXPECT_EQ(in_short(tune_of(realised(song_of(text), {PitchClass(0)}), {})), "C4 0+4, D4 4+4");
}

TEST(TuneText, IsWrittenAsItIsRead) {
  const char* const texts[] = {
      "key: G major\n| G | C D |\ntune: D2 | G2 AB c2 B2 | (3ABc d/c/B A3- A/G/ | \nwords: The ri-ver goes_ and * home "
      "a long a-_ way~now one\n",
      "|: C |1. G :|2. C |\ntune: G2 | C8 | ^F6 | F8 |\n",
      "meter: 6/8\nC F\ntune: CDE FGA | (2CD z3\n",
      "key: F minor\n| Fm | C |\ntune: F2 =E2 E2 _E2 | (5cdefg z4 z2 |\n",
      "[Verse]\n| C |\ntune: C4 D4\nwords: one two\n\n[Chorus]\n| F |\n\n[Verse 2]\nwords: three four\n\n[Chorus]\n",
      "tune: [L:1/4] C D E F | G4 |\ntune: A2 B2 | c4 |\n",
      "[A]\ntune: c4 d4- | d8\nwords: one two\n\n[B]\ntune: ^e8 | z2 E6 |\n\n[A]\nwords: three four\n"};
  for (const char* const text : texts) {
    const Progression song = song_of(text);
    const std::string written = write_progression(song);
    const Progression again = song_of(written);
    EXPECT_EQ(in_short(tune_of(song, {})), in_short(tune_of(again, {}))) << written;
    EXPECT_EQ(write_progression(again), written);
  }
  EXPECT_EQ(write_progression(song_of("key: G major\n| G | D |\ntune: D2 | G2 AB (3cBA G>F | ^E8-\n| G |\ntune: E8\n")),
            "key: G major\n\n| G | D |\ntune: D2 | G2 AB (3cBA G3/2F/ | ^E8- |\n| G |\ntune: | ^E8 |\n");
}

TEST(TuneText, FaultsHaveTheirPlace) {
  EXPECT_EQ(error_in("| C | G |\ntune: C2 D2 E2 | G8 |"), "2:7+8 the notes of this bar last 3 beats, 4/4 has 4");
  EXPECT_EQ(error_in("| C | G |\ntune: C8 | G9 |"), "2:12+2 the notes of this bar last 4 1/2 beats, 4/4 has 4");
  EXPECT_EQ(error_in("| C | G |\ntune: C8 | G6 |"), "2:12+2 the notes of this bar last 3 beats, 4/4 has 4");
  EXPECT_EQ(error_in("| C | G |\ntune: C8 |"), "2:6+5 the tune has 1 bar here, the chords above have 2");
  EXPECT_EQ(error_in("| C |\ntune: H2 C6"), "2:7+1 \"H\" is no note");
  EXPECT_EQ(error_in("| C |\ntune: F#2 C6"), "2:8+1 \"#\" after a note");
  EXPECT_EQ(error_in("| C |\ntune: C4- D4"), "2:11+2 the tie before this leads to another pitch");
  EXPECT_EQ(error_in("| C |\ntune: C4 D4-"), "2:13+1 no note after the last tie");
  EXPECT_EQ(error_in("| C |\ntune: (3CD"), "2:7+1 notes are missing after this tuplet");
  EXPECT_EQ(error_in("| C |\ntune: [CE]8"), "2:7+4 a tune has one note at a time");
  EXPECT_EQ(error_in("| C |\ntune: C4 D4\nwords: one two three four"),
            "3:16+5 4 syllables for 2 notes: there is no note for this one");
}

TEST(TuneText, FewerSyllablesThanNotesAreTold) {
  const auto song = read_song("| C |\ntune: C4 D4\nwords: one", "song");
  ASSERT_TRUE(song);
  ASSERT_EQ(song->decisions.size(), 1U);
  EXPECT_TRUE(song->decisions.front().text.starts_with("words for 1 of 2 notes"));
  // A line that goes on in the next one with a tie needs none for it.
  EXPECT_TRUE(read_song("| C |\ntune: C4 D4\nwords: one *", "song")->decisions.empty());
}

TEST(TuneText, ALetterIsAQuarterNoteWhereThatFillsTheBars) {
  const auto song = read_song("meter: 3/4\n| C | F | C |\ntune: G | E2 G | F2 A | c3 |", "song");
  ASSERT_TRUE(song);
  ASSERT_EQ(song->decisions.size(), 1U);
  EXPECT_EQ(in_short(tune_of(song->progression, {})),
            in_short(tune_of(song_of("meter: 3/4\n| C | F | C |\ntune: G2 | E4 G2 | F4 A2 | c6 |\n"), {})));
  // One bar alone, or bars of several lengths, may be mistakes.
  EXPECT_NE(error_in("meter: 3/4\n| C | F |\ntune: E2 G | F4 A2 |").find("the notes of this bar last"),
            std::string::npos);
}

TEST(TuneText, RepeatSignsStandInTheLineOfChords) {
  EXPECT_NE(error_in("key: G\ntune: |: G2 A2 B2 G2 | d8 :|").find("a repeat sign in a tune"), std::string::npos);
  EXPECT_EQ(error_in("key: G\n|: G | D :|\ntune: |: G2 A2 B2 G2 | d8 :|"), "none");
}

TEST(TuneText, ALineOfChordsMayFollowItsTune) {
  const char* const above = "key: C\ntune: C8 | F8 |\n| C | F |\nwords: one two";
  const Progression song = song_of(above);
  ASSERT_EQ(timeline(song, {}).bars, 2);
  EXPECT_EQ(to_string(*timeline(song, {}).chords[1].chord), "F");
  EXPECT_EQ(tune_in(above), "C4 0+4 one, F4 4+4 two");
}

TEST(TuneText, BarLinesAreAskedFor) {
  EXPECT_NE(error_in("key: C\ntune: C2 D2 E2 F2 G8").find("a tune without bar lines"), std::string::npos);
}

/// "Bb" is two notes in ABC, and not what a songwriter means.
TEST(TuneText, AFlatBehindItsNoteIsTold) {
  const auto song = read_song("key: F\ntune: F2 G2 A2 Bb | c8 |", "song");
  ASSERT_TRUE(song);
  EXPECT_TRUE(std::any_of(song->decisions.begin(), song->decisions.end(), [](const SongNote& note) {
    return note.doubtful && note.text.find("_B") != std::string::npos;
  }));
  const auto too_long = read_song("key: F\ntune: F2 G2 A2 Bb4 | c8 |", "song");
  ASSERT_FALSE(too_long);
  EXPECT_NE(too_long.error().hint.find("_B"), std::string::npos);
}

TEST(TuneText, ATitleMayBeCalledTune) {
  EXPECT_EQ(song_of("tune: Rain on the Roof\n| C | G |").title, "Rain on the Roof");
}

}  // namespace
}  // namespace romanesca
