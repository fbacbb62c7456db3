#include <gtest/gtest.h>

#include "theory/songs/abc_fields.h"
#include "theory/songs/abc_reader.h"
#include "theory/songs/progression_writer.h"
#include "theory/songs/song_reading.h"
#include "theory/songs/song_tune.h"

namespace romanesca {
namespace {

// ABC 2.1, the open standard; its sections are named at each check (from memory, where the standard was not at hand).
// The tunes are invented here.

Progression abc(const std::string& text) {
  auto reading = read_song(text, "tune.abc");
  EXPECT_TRUE(reading) << text << "\n" << (reading ? "" : reading.error().message);
  return reading ? reading->progression : Progression{};
}

std::string written(const std::string& text) { return write_progression(abc(text)); }

std::string notes_of(const Progression& song) {
  std::string text;
  for (const TuneNote& note : tune_of(song, {}).notes) {
    text += to_string(note.pitch) + "@" + std::to_string(note.start.numerator()) +
            (note.start.denominator() > 1 ? "/" + std::to_string(note.start.denominator()) : "") + " ";
  }
  return text;
}

TEST(Abc, ATuneWithChordsAndWordsBecomesASong) {
  EXPECT_EQ(written("X:1\nT:Lamp in the Window\nC:A Student\nM:3/4\nL:1/4\nQ:1/4=96\nK:G\n"
                    "D|\"G\"G2 A|\"D7\"F2 A|\"G\"G2 \"C\"c|\"G\"B2 z|]\n"
                    "w:A lamp with-in the win-dow burns\n"),
            "title: Lamp in the Window\ncomposer: A Student\nkey: G major\ntempo: 96\nmeter: 3/4\n\n"
            "| G | D7 | G / C | G |\ntune: D2 | G4 A2 | F4 A2 | G4 c2 | B4 z2 |\n"
            "words: A lamp with-in the win-dow burns\n");
}

TEST(Abc, ASyllableMayPassOverTiedNotes) {
  // Section 5.1 counts each note; many files count a tied one once. No syllable is lost in either.
  const char* const head = "X:1\nM:4/4\nL:1/4\nK:D\n";
  EXPECT_NE(written(std::string(head) + "A-A G F|D4|\nw:one_ two three four\n").find("words: one two three four"),
            std::string::npos);
  EXPECT_NE(written(std::string(head) + "A-A G F|D4 |\nw:one two three four\n").find("words: one two three four"),
            std::string::npos);
  EXPECT_NE(written(std::string(head) + "A-A G F|D4 |\nw:one two-_ four\n").find("words: one two-_ four"),
            std::string::npos);
}

TEST(Abc, FurtherLinesOfWordsAreVerses) {
  // Section 5.1: several lines w: under a line of notes are verses; writers put their numbers before them, joined by ~.
  const std::string text =
      "X:1\nM:4/4\nL:1/4\nK:C\nCDEF|G2 A2|\nw:1.~The sun went down_ now\nw:2.~The rain came up a-gain\nC4|\nw:La\n";
  EXPECT_EQ(written(text),
            "key: C major\nmeter: 4/4\n\n| N.C. | N.C. |\ntune: | C2 D2 E2 F2 | G4 A4 |\n"
            "words: The sun went down_ now\nwords: The rain came up a-gain\n| N.C. |\ntune: | C8 |\nwords: La\n");
  const auto reading = read_song(text, "tune.abc");
  ASSERT_TRUE(reading);
  EXPECT_TRUE(reading->left_out.empty());
}

TEST(Abc, OtherMetersBecomeThoseOfSongs) {
  const auto text = [](const char* meter, const char* notes) {
    return written(std::string("X:1\nM:") + meter + "\nL:1/8\nQ:1/4=90\nK:G\n" + notes + "\n");
  };
  EXPECT_EQ(text("2/2", "G2A2B2c2|d8|"),
            "key: G major\ntempo: 90\nmeter: 4/4\n\n| N.C. | N.C. |\ntune: | G2 A2 B2 c2 | d8 |\n");
  EXPECT_EQ(text("3/8", "GAB|c3|"),
            "key: G major\ntempo: 180\nmeter: 3/4\n\n| N.C. | N.C. |\ntune: | G2 A2 B2 | c6 |\n");
  EXPECT_EQ(text("3/2", "G4A4B4|c12|"),
            "key: G major\ntempo: 45\nmeter: 3/4\n\n| N.C. | N.C. |\ntune: | G2 A2 B2 | c6 |\n");
  EXPECT_EQ(text("6/4", "G4A4B2c2|d12|"),
            "key: G major\ntempo: 30\nmeter: 6/8\n\n| N.C. | N.C. |\ntune: | G2 A2 Bc | d6 |\n");
  // Section 3.1.7: the usual unit of 3/8, which is less than 0.75, is a sixteenth.
  EXPECT_EQ(written("X:1\nM:3/8\nK:G\nG2A2B2|c6|\n"),
            "key: G major\nmeter: 3/4\n\n| N.C. | N.C. |\ntune: | G2 A2 B2 | c6 |\n");
}

TEST(Abc, RepeatsKeepTheirUpbeats) {
  // Sections 4.8 and 4.9: each part's last bar is short by the upbeat of the part that follows it.
  const Progression song = abc("X:1\nM:4/4\nL:1/4\nK:C\nG|:c2 e2|1 d3 G:|2 c3||e|f2 d2|c3:|\n");
  EXPECT_EQ(notes_of(song),
            "G4@-1 C5@0 E5@2 D5@4 G4@7 C5@8 E5@10 C5@12 E5@15 F5@16 D5@18 C5@20 E5@23 F5@24 D5@26 C5@28 ");
  const Progression again = abc(write_progression(song));
  EXPECT_EQ(notes_of(again), notes_of(song)) << write_progression(song);
}

TEST(Abc, FieldsOfTheHead) {
  // Section 3.1.14, keys.
  const auto key = [](const char* text) {
    const auto read = parse_abc_key(text);
    return read ? to_string(Key{read->tonic, *read->mode}) : std::string("none");
  };
  EXPECT_EQ(key("G"), "G major");
  EXPECT_EQ(key("Am"), "A minor");
  EXPECT_EQ(key("F#m"), "F# minor");
  EXPECT_EQ(key("Bb major clef=treble"), "Bb major");
  EXPECT_EQ(key("Dmix"), "D mixolydian");
  EXPECT_EQ(key("E Dorian"), "E dorian");
  EXPECT_EQ(key("A aeo"), "A minor");
  EXPECT_EQ(key("none"), "none");
  EXPECT_EQ(key(""), "none");
  EXPECT_EQ(key("G#"), "none");  // eight sharps
  // Section 3.1.6, meters.
  EXPECT_EQ(parse_any_meter("C")->meter, (Meter{4, 4}));
  EXPECT_EQ(parse_any_meter("C|")->meter, (Meter{4, 4}));
  EXPECT_EQ(parse_any_meter("6/8")->meter, (Meter{6, 8}));
  EXPECT_FALSE(parse_any_meter("7/8"));
  // Section 3.1.7: 2/4 is 0.5, 6/8 is 0.75.
  EXPECT_EQ(usual_abc_unit({{2, 4}}), Beats(1, 4));
  EXPECT_EQ(usual_abc_unit({{6, 8}}), Beats(1, 2));
  EXPECT_EQ(usual_abc_unit({{4, 4}}), Beats(1, 2));
  // Section 3.1.8, tempos.
  EXPECT_EQ(parse_abc_tempo("1/4=120", {{4, 4}}), 120);
  EXPECT_EQ(parse_abc_tempo("3/8=60", {{6, 8}}), 60);
  EXPECT_EQ(parse_abc_tempo("1/8=180", {{6, 8}}), 60);
  EXPECT_EQ(parse_abc_tempo("\"Gently\" 1/4=80", {{4, 4}}), 80);
  EXPECT_EQ(parse_abc_tempo("100", {{4, 4}}), 100);
  EXPECT_EQ(parse_abc_tempo("\"Gently\"", {{4, 4}}), std::nullopt);
}

TEST(Abc, WhatStandsAroundNotesIsPassedOver) {
  // Sections 4.11 slurs, 4.12 grace notes, 4.14 ornaments, 4.17 chords, 4.19 annotations, 2.2.4 comments.
  EXPECT_EQ(notes_of(abc(
                "X:1\nM:4/4\nL:1/4\nK:C\n%%scale 0.7\n{g}(C ~D) !fermata!.E \"^slowly\"[CEG]|T c u d v e f\\\n| % end\n"
                "N:a note\ny z4|\n")),
            "C4@0 D4@1 E4@2 G4@3 C5@4 D5@5 E5@6 F5@7 ");
  // Section 7: only the first voice.
  const auto voices = read_song("X:1\nM:4/4\nL:1/4\nK:C\nV:1\nCDEF|\nV:2\nC,4|\nV:1\nG4|\n", "x");
  ASSERT_TRUE(voices);
  EXPECT_EQ(notes_of(voices->progression), "C4@0 D4@1 E4@2 F4@3 G4@4 ");
  EXPECT_EQ(voices->left_out.size(), 1);
}

TEST(Abc, KeyAndMeterMayChange) {
  EXPECT_EQ(written("X:1\nM:4/4\nL:1/4\nK:C\nC F G C|\nK:D\nM:3/4\nF2 C|[K:Bb]B2 E|\n"),
            "key: C major\nmeter: 4/4\n\n| N.C. |\ntune: | C2 F2 G2 C2 |\nkey: D major\nmeter: 3/4\n| N.C. |\n"
            "tune: | F4 C2 |\nkey: Bb major\n| N.C. |\ntune: | B4 E2 |\n");
}

TEST(Abc, TiesTripletsAndHalfBars) {
  EXPECT_EQ(
      written("X:1\nM:4/4\nL:1/8\nK:C\nC2 D2 E4-|E4\nF4|(3GAB c2 z4|\n"),
      "key: C major\nmeter: 4/4\n\n| N.C. |\ntune: | C2 D2 E4- |\n| N.C. | N.C. |\ntune: | E4 F4 | (3GAB c2 z4 |\n");
  // Section 5.1: a tied note takes a sign of its own, where the writer gave it one.
  EXPECT_EQ(written("X:1\nM:4/4\nL:1/4\nK:C\nC2 D2-|D2 E2|\nw:one two_ three\n").find("words: one two three") !=
                std::string::npos,
            true);
  EXPECT_EQ(written("X:1\nM:4/4\nL:1/4\nK:C\nC2 D2-|D2 E2|\nw:one two three\n").find("words: one two three") !=
                std::string::npos,
            true);
}

TEST(Abc, WhatTheFuzzerFound) {
  // A key before the first whole bar is the song's own.
  EXPECT_EQ(written("X:1\nM:3/4\nL:1/4\nK:Em\nB|[K:G]G2 A|B3|\n"),
            "key: G major\nmeter: 3/4\n\n| N.C. | N.C. |\ntune: B2 | G4 A2 | B6 |\n");
  // A bar of rest without a bar line before it.
  EXPECT_EQ(notes_of(abc("X:1\nM:3/4\nL:1/4\nK:C\nC4 Z D3|\n")), "C4@0 D4@9 ");
  // A tie that a rest follows.
  EXPECT_EQ(written("X:1\nM:4/4\nL:1/4\nK:C\nC4-|C2-z2|C4-|\n"),
            "key: C major\nmeter: 4/4\n\n| N.C. | N.C. | N.C. |\ntune: | C8- | C4 z4 | C8 |\n");
}

TEST(Abc, FaultsHaveTheirPlace) {
  const auto error = [](const std::string& text) {
    const auto reading = read_song(text, "x");
    if (reading) return std::string("none");
    const TextPlace& place = reading.error().place;
    return std::to_string(place.line) + ":" + std::to_string(place.column) + " " + reading.error().message;
  };
  EXPECT_EQ(error("X:1\nM:7/8\nK:C\nCDEF|\n"), "2:3 a song here cannot be in the meter 7/8");
  EXPECT_EQ(error("X:1\nK:C\nCD#F|\n"), "3:3 \"#\" after a note");
  EXPECT_EQ(error("X:1\nK:C\n\"C CDEF|\n"), "3:1 the quotation mark is not closed");
  EXPECT_EQ(error("X:1\nK:C\n\n"), "0:1 no notes in the tune");
}

}  // namespace
}  // namespace romanesca
