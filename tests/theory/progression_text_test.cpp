#include "theory/songs/progression_text.h"

#include <gtest/gtest.h>

#include <tuple>

#include "theory/analysis/analysis.h"
#include "theory/songs/progression.h"
#include "theory/songs/progression_writer.h"
#include "theory/songs/symbol_text.h"

namespace romanesca {
namespace {

std::string chords_as_text(const std::string& text, const Key& key = {}) {
  const auto parsed = parse_progression(text, "test");
  if (!parsed) return "error: " + parsed.error().message;
  std::string result;
  int bar = 0;
  const Timeline line = timeline(*parsed, key);
  for (const TimedChord& timed : line.chords) {
    if (timed.bar != bar) result += result.empty() ? "" : "| ";
    bar = timed.bar;
    result += timed.held ? "/" : timed.chord ? to_string(*timed.chord) : "N.C.";
    const Beats beats = timed.length * line.meter().lower / 4;
    result += ":" + std::to_string(beats.numerator()) +
              (beats.denominator() > 1 ? "/" + std::to_string(beats.denominator()) : "") + " ";
  }
  return result;
}

TEST(ProgressionText, SharesBarsAndCountsBeats) {
  EXPECT_EQ(chords_as_text("C Am F G"), "C:4 | Am:4 | F:4 | G:4 ");
  EXPECT_EQ(chords_as_text("| C Am | F G |"), "C:2 Am:2 | F:2 G:2 ");
  EXPECT_EQ(chords_as_text("| C Am F |"), "C:4/3 Am:4/3 F:4/3 ");
  EXPECT_EQ(chords_as_text("| C / / G |"), "C:3 G:1 ");
  EXPECT_EQ(chords_as_text("| C | % | F G | % |"), "C:4 | C:4 | F:2 G:2 | F:2 G:2 ");
  EXPECT_EQ(chords_as_text("| C | / / G / |"), "C:4 | /:2 G:2 ");
  EXPECT_EQ(chords_as_text("|C|G/B|Am|"), "C:4 | G/B:4 | Am:4 ");
  EXPECT_EQ(chords_as_text("| C | N.C. | NC |"), "C:4 | N.C.:4 | N.C.:4 ");
  EXPECT_EQ(chords_as_text("meter: 6/8\n| C / / G / / |"), "C:3 G:3 ");
  EXPECT_EQ(chords_as_text("C\nG\n"), "C:4 | G:4 ");
  EXPECT_EQ(chords_as_text("| C | G"), "C:4 | G:4 ");
}

TEST(ProgressionText, ReadsWhatPeoplePaste) {
  EXPECT_EQ(chords_as_text("\xEF\xBB\xBF| B♭ | F♯m7 | C° | Cø7 |\r\n"), "Bb:4 | F#m7:4 | Cdim:4 | Cm7b5:4 ");
  EXPECT_EQ(chords_as_text("| CΔ | C–7 | C−7 |"), "Cmaj7:4 | Cm7:4 | Cm7:4 ");
  EXPECT_EQ(chords_as_text("# a song\n| C | G | # the hook\n"), "C:4 | G:4 ");
  EXPECT_EQ(chords_as_text("I #IV V", {PitchClass(0), Mode::major}), "C:4 | F#:4 | G:4 ");
  EXPECT_EQ(chords_as_text("I IV #and so on", {PitchClass(0), Mode::major}), "C:4 | F:4 ");
  EXPECT_EQ(chords_as_text("1 6m 4 5/7", {PitchClass(1), Mode::major}), "G:4 | Em:4 | C:4 | D/F#:4 ");
}

TEST(ProgressionText, ASectionMayHaveATempoOfItsOwn) {
  const std::string text = "tempo: 90\n\n[Verse]\n| G | D |\n\n[Bridge]\ntempo: 70.5\n| C |\n";
  const auto parsed = parse_progression(text, "t");
  ASSERT_TRUE(parsed) << parsed.error().message;
  EXPECT_EQ(parsed->tempo_bpm, 90);
  EXPECT_EQ(parsed->sections[0].tempo_bpm, std::nullopt);
  EXPECT_EQ(parsed->sections[1].tempo_bpm, 70.5);
  EXPECT_EQ(write_progression(*parsed), text);
  const auto wild = parse_progression("[Verse]\ntempo: 7000\n| G |\n", "t");
  ASSERT_FALSE(wild);
  EXPECT_EQ(wild.error().place.line, 2);
}

TEST(ProgressionText, MeterKeyAndTempoMayChange) {
  const std::string text =
      "key: C\ntempo: 90\n\n[Verse]\n| C | D / G / |\nkey: D\ntempo: 120\nmeter: 3/4\n| D / A |\n\n[End]\nmeter: "
      "4/4\n| D |\n";
  const auto parsed = parse_progression(text, "t");
  ASSERT_TRUE(parsed) << parsed.error().message;
  EXPECT_EQ(write_progression(*parsed), text);
  const Timeline line = timeline(*parsed, Key{});
  EXPECT_EQ(line.bars, 4);
  EXPECT_EQ(line.meters.at(2), (Meter{4, 4}));
  EXPECT_EQ(line.meters.at(3), (Meter{3, 4}));
  EXPECT_EQ(line.meters.at(4), (Meter{4, 4}));
  EXPECT_EQ(line.length(), Beats(15));
  EXPECT_EQ(line.chords.back().start, Beats(11));
  ASSERT_EQ(line.tempos.size(), 1U);
  EXPECT_EQ(line.tempos[0].bar, 3);
  ASSERT_EQ(line.keys.size(), 1U);
  EXPECT_EQ(line.keys[0].key.tonic, PitchClass(2));
  // The keys go with the chords.
  EXPECT_EQ(timeline(transposed(*parsed, Interval::simple(2)), Key{}).keys[0].key.tonic, PitchClass(4));
}

TEST(ProgressionText, NumeralsAreInTheKeyThatIsStatedForThem) {
  const auto parsed = parse_progression("key: C\n| I V |\nkey: D\n| I V |\n", "t");
  ASSERT_TRUE(parsed) << parsed.error().message;
  EXPECT_EQ(write_progression(realised(*parsed, Key{PitchClass(1), Mode::major})),
            "key: G major\n\n| G D |\nkey: A\n| A E |\n");
  const Analysis analysis = analyse(*parsed);
  EXPECT_EQ(to_string(analysis.keys.by_bar[0]), "C major");
  EXPECT_EQ(to_string(analysis.keys.by_bar[1]), "D major");
  EXPECT_EQ(to_string(*analysis.timeline.chords[3].chord), "A");
}

TEST(ProgressionText, HeaderAndSections) {
  const auto parsed = parse_progression(
      "title: Rain on the Skylight\nkey: G major\ntempo: 84\nmeter: 3/4\nstyle: waltz\n\n[Verse]\n| G | D "
      "|\n[Chorus]\n| C |\n",
      "t");
  ASSERT_TRUE(parsed) << parsed.error().message;
  EXPECT_EQ(parsed->title, "Rain on the Skylight");
  EXPECT_EQ(parsed->key, (KeyText{PitchClass(1), Mode::major}));
  EXPECT_EQ(parsed->tempo_bpm, 84);
  EXPECT_EQ(parsed->meter(), (Meter{3, 4}));
  EXPECT_EQ(parsed->style, "waltz");
  ASSERT_EQ(parsed->sections.size(), 2U);
  EXPECT_EQ(parsed->sections[1].name, "Chorus");
}

struct Refusal {
  const char* text;
  const char* message;
  const char* hint;
  TextPlace place;
};

TEST(ProgressionText, RefusalsSayWhereAndWhatToDo) {
  const Refusal refusals[] = {
      {"", "no chords in the text", "write some, like \"| C | Am | F | G |\"", {0, 1, 1}},
      {"\n# nothing\n", "no chords in the text", "write some, like \"| C | Am | F | G |\"", {0, 1, 1}},
      {"| G | Hm7 |", "unknown chord \"Hm7\"", "did you mean Bm7?", {1, 7, 3}},
      {"| B♭ | Gmaj77 |", "unknown chord \"Gmaj77\"", "did you mean Gmaj7?", {1, 8, 6}},
      {"| C | am |", "unknown chord \"am\"", "did you mean Am?", {1, 7, 2}},
      {"| C / G |",
       "this bar has 3 beats, 4/4 has 4",
       "with / each item is one beat; write 4, or leave the / out",
       {1, 3, 5}},
      {"| C / / / G |",
       "this bar has 5 beats, 4/4 has 4",
       "with / each item is one beat; write 4, or leave the / out",
       {1, 3, 9}},
      {"| % | C |", "no bar before % to repeat", "write the first bar out", {1, 3, 1}},
      {"| C | % G |", "% must be alone in its bar", "give it a bar of its own: | % |", {1, 9, 1}},
      {"| / C |", "no chord before / to hold", "begin with a chord", {1, 3, 1}},
      {"C / G", "/ counts beats, and this line has no bar lines", "put them in: | C / D / |", {1, 3, 1}},
      {"| C | vi |",
       "\"vi\" is a Roman numeral, but the progression began with C",
       "use one kind only: chord symbols, Roman numerals or numbers",
       {1, 7, 2}},
      {"tempo: 0\n| C |", "the tempo 0 is out of range", "choose 20 to 400 beats a minute", {1, 8, 1}},
      {"tempo: 10000\n| C |", "the tempo 10000 is out of range", "choose 20 to 400 beats a minute", {1, 8, 5}},
      {"tempo: quick\n| C |",
       "cannot read the tempo \"quick\"",
       "write beats a minute as a number, like 84",
       {1, 8, 5}},
      {"key: H\n| C |", "unknown key \"H\"", "did you mean B? (the German H is B in English)", {1, 6, 1}},
      {"key: G# major\n| C |", "G# major would need 8 sharps", "write Ab major, the same keys on the piano", {1, 6, 8}},
      {"meter: 7/8\n| C |", "unknown meter \"7/8\"", "choose 2/4, 3/4, 4/4, 5/4, 6/8, 9/8 or 12/8", {1, 8, 3}},
      {"temp: 90\n| C |", "unknown header \"temp:\"", "did you mean tempo:?", {1, 1, 4}},
      {"| C |\ntempo: 90\n", "no bars after this change", "write the bars that it is for, or leave it out", {2, 1, 1}},
      {"| C |\nkey: G\nkey: A\n| D |", "\"key:\" is given twice", "keep one of the two", {3, 1, 3}},
      {"| C |\nmeter: 3/4\n| D / |",
       "this bar has 2 beats, 3/4 has 3",
       "with / each item is one beat; write 3, or leave the / out",
       {3, 3, 3}},
      {"| C |\ntitle: Rain\n",
       "\"title:\" comes after the first chord",
       "put such lines at the top of the text",
       {2, 1, 5}},
      {"[Verse\n| C |", "the section heading is not closed", "close it with ]", {1, 1, 6}},
      {"[Verse] | C |", "text after a section heading", "put the chords on the next line", {1, 9, 5}},
      {"| C \x01 |", "not plain text in UTF-8", "save the chords as plain text", {1, 5, 1}},
      {"\xFF\xFE", "not plain text in UTF-8", "save the chords as plain text", {1, 1, 1}},
  };
  for (const Refusal& refusal : refusals) {
    const auto parsed = parse_progression(refusal.text, "test");
    ASSERT_FALSE(parsed) << refusal.text;
    EXPECT_EQ(parsed.error().message, refusal.message) << refusal.text;
    EXPECT_EQ(parsed.error().hint, refusal.hint) << refusal.text;
    EXPECT_EQ(parsed.error().place, refusal.place)
        << refusal.text << " at " << parsed.error().place.line << ":" << parsed.error().place.column << " width "
        << parsed.error().place.width;
    EXPECT_EQ(parsed.error().source, "test");
  }
}

TEST(ProgressionText, TwentyFourChordsFitInABarAndNoMore) {
  std::string bar = "|";
  for (int i = 0; i < 24; ++i) bar += " C";
  EXPECT_TRUE(parse_progression(bar + " |", "t"));
  const auto parsed = parse_progression(bar + " C |", "t");
  ASSERT_FALSE(parsed);
  EXPECT_EQ(parsed.error().message, "this bar has 25 chords");
}

TEST(ProgressionText, CountsTheChordsOfRepeatedBars) {
  std::string text = "| C C C C C C C C C C C C C C C C C C C C C C C C |";
  for (std::size_t i = 1; i < most_chords_in_text / 24; ++i) text += " % |";
  EXPECT_TRUE(parse_progression(text, "t"));
  const auto parsed = parse_progression(text + " % |", "t");
  ASSERT_FALSE(parsed);
  EXPECT_EQ(parsed.error().message, "the piece has more than 200000 chords");
}

TEST(ProgressionText, RefusesTenMegabytes) {
  const auto parsed = parse_progression(std::string(10 << 20, 'C'), "big.txt");
  ASSERT_FALSE(parsed);
  EXPECT_EQ(parsed.error().message, "the text is longer than 4194304 bytes");
  EXPECT_EQ(parsed.error().line_text, "");
}

TEST(ProgressionText, WrittenBackLineForLine) {
  const char* text =
      "title: Kite\nkey: D minor\ntempo: 96.5\nmeter: 4/4\nstyle: pop\n\n[Verse]\n| Dm | C Bb | % |  # first time "
      "soft\n"
      "| Gm / A / |\n\n[End]\n| N.C. | Dm(add9) |\n";
  const auto parsed = parse_progression(text, "t");
  ASSERT_TRUE(parsed) << parsed.error().message;
  EXPECT_EQ(write_progression(*parsed), text);
}

TEST(ProgressionText, ModeOfNumerals) {
  EXPECT_EQ(mode_of_numerals(*parse_progression("i iv V", "t")), Mode::minor);
  EXPECT_EQ(mode_of_numerals(*parse_progression("Im7 IVm7 V7", "t")), Mode::minor);
  EXPECT_EQ(mode_of_numerals(*parse_progression("I iv I", "t")), Mode::major);
  EXPECT_EQ(mode_of_numerals(*parse_progression("IIm7 V7 Imaj7", "t")), Mode::major);
}

TEST(ProgressionText, PrintParseRoundTripOfEveryNotation) {
  for (const char* text :
       {"| C | Am7/G | F#m7b5 B7(b9,b13) |\n", "| I | vi7 | V65/V V7 | bVII |\n", "| 1 | 6m | b7 | 5/7 |\n"}) {
    const auto parsed = parse_progression(text, "t");
    ASSERT_TRUE(parsed) << text;
    EXPECT_EQ(write_progression(*parsed), text);
  }
}

// Away and back is the identity, for every chord type on every root and for every pair of the 30 keys.
TEST(Transposition, ThereAndBack) {
  for (const Key& from : written_keys()) {
    for (const Key& to : written_keys()) {
      if (from.mode != to.mode) continue;
      const Interval away = interval_between(from.tonic, to.tonic);
      for (int degree = 1; degree <= 7; ++degree) {
        const Chord chord = from.diatonic_chord(degree, 4);
        const Chord moved = transposed(chord, away);
        EXPECT_EQ(moved, to.diatonic_chord(degree, 4)) << to_string(from) << " to " << to_string(to);
        EXPECT_EQ(transposed(moved, interval_between(to.tonic, from.tonic)), chord);
      }
    }
  }
}

TEST(Transposition, EveryTypeOnEveryRootByEveryInterval) {
  for (const ChordTypeRow& row : chord_type_rows()) {
    for (int root = -8; root <= 8; ++root) {
      for (int by = -6; by <= 6; ++by) {
        const Chord chord = Chord::on(PitchClass(root), row.type);
        const Interval interval = Interval::simple(by);
        EXPECT_EQ(transposed(transposed(chord, interval), -interval), chord);
      }
    }
  }
}

// Nobody reads a triple accidental: the name beside it sounds alike.
TEST(Transposition, StopsAtDoubleAccidentals) {
  const Interval raised{7, -4};  // a chromatic semitone up
  for (const auto& [from, up, down] : {std::tuple{"B#", "B##", "B"}, {"B##", "C##", "B#"}, {"Fbb", "Fb", "Ebb"}}) {
    EXPECT_EQ(to_string(transposed(std::get<Chord>(*parse_symbol(from)), raised).root), up);
    EXPECT_EQ(to_string(transposed(std::get<Chord>(*parse_symbol(from)), -raised).root), down);
  }
}

TEST(Transposition, SpellsByTheKey) {
  const auto song = parse_progression("key: G\n| G | D/F# | Em | Cm6 |\n", "t");
  const auto in = [&](const char* key) {
    return write_progression(transposed(*song, interval_between(song->key->tonic, parse_key(key)->tonic)));
  };
  EXPECT_EQ(in("Gb"), "key: Gb\n\n| Gb | Db/F | Ebm | Cbm6 |\n");
  EXPECT_EQ(in("F#"), "key: F#\n\n| F# | C#/E# | D#m | Bm6 |\n");
  EXPECT_EQ(in("Cb"), "key: Cb\n\n| Cb | Gb/Bb | Abm | Fbm6 |\n");
}

}  // namespace
}  // namespace romanesca
