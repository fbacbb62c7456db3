// Lead sheets in every form: marks that must not touch, and MusicXML read back by the standard's rules.
#include "cli/formats/paper/lead_sheet.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <map>

#include "cli/formats/chart_musicxml.h"
#include "cli/formats/paper/packet_paper.h"
#include "cli/studio/tune_file.h"
#include "tests/cli/formats/musicxml_score.h"
#include "tests/cli/formats/paper/page_geometry.h"
#include "tests/cli/formats/paper/paper_songs.h"
#include "theory/songs/paper_tune.h"
#include "theory/songs/song_reading.h"
#include "theory/songs/song_tune.h"

namespace romanesca {
namespace {

/// Songs with tunes and words, invented for these tests.
const std::vector<std::string>& sung_songs() {
  static const std::vector<std::string> songs{
      // An upbeat, a triplet, a syllable over two notes, rests.
      "title: Snow on the Gate\nkey: G major\nmeter: 3/4\ntempo: 96\n\n[Verse]\n| G | D7 | C | G |\n"
      "tune: D2 | G2 A2 B2 | A3 B A2 | (3c2B2A2 E2 | D4 z2 |\n"
      "words: The snow came soft-ly o-ver_ our gate to-night\n",
      // Many flats and accidentals, dotted and tied notes, long words.
      "title: Under the Harbour Lamps\nkey: Eb major\n| Eb Cm7 | Fm7 Bb7 | Ebmaj7 | Ab Bb |\n"
      "tune: E2 F2 G3 ^F | G2 _G2 F4 | E6- E B, | C2 D2 =A2 _A2 |\n"
      "words: Straight-for-ward-ly through thought-ful-ness, strengths,_ the schoon-ers\n",
      // Compound meter, high and low notes, no words.
      "title: Wheels\nkey: D minor\nmeter: 6/8\n| Dm | Gm | A7 | Dm |\ntune: A,2 D F2 A | d2 c' b2 g | ^c3 e3 | d6 |\n",
      // Three verses of different lengths, an upbeat, and a line that all sing alike.
      "title: Boats of Bark\nkey: D\nmeter: 3/4\n\n| D | A7 |\ntune: A2 | F2 E2 D2 | E4 A,2 |\n"
      "words: We built a lit-tle boat\nwords: The strength-ened wind-mills turned\nwords: I,~too, would\n"
      "| Bm | D |\ntune: B2 A2 F2 | D4 z2 |\nwords: down the stream_\n",
      // Repeats with endings.
      "title: Round Again\nkey: F\n|: F | Bb |1 C7 | F :|2 C7 | F |\n"
      "tune: F2 G2 A2 c2 | d4 B4 | c2 B2 A2 G2 | F8 | c2 e2 g2 e2 | f8 |\n",
  };
  return songs;
}

Placement sung(const std::string& text, const std::optional<KeyText>& key = std::nullopt) {
  const auto read = read_song(text, "song", {});
  NamedProgression named;
  if (!read) {
    ADD_FAILURE() << text << read.error().message;
    return {};
  }
  named.progression = read->progression;
  named.name = "song";
  return *place_in_key(named, key);
}

Hands hands_of(const Placement& placed) { return hands_for(placed.analysis.timeline, {}, placed.analysis.keys.by_bar); }

/// The chart of a packet goes round, for practice; the song behind it is played once, as it is written.
TEST(LeadSheet, APacketHasItBehindTheChartWithoutARepeat) {
  Packet packet;
  packet.title = "Wheels";
  packet.placed = sung(sung_songs()[2]);
  packet.hands = hands_of(packet.placed);
  packet.hands.loops = true;
  const Drawing with = packet_drawing(packet, {});
  const Tune tune = tune_of(packet.placed.progression, packet.placed.key);
  const Drawing alone = lead_sheet_drawing(packet.placed, tune, hands_of(packet.placed), {}, "");
  ASSERT_EQ(with.pages.size(), 1 + alone.pages.size());
  const auto bar_lines = [](const Page& page) {
    return std::count_if(page.marks.begin(), page.marks.end(),
                         [](const Mark& mark) { return mark.kind == MarkKind::bar_line; });
  };
  EXPECT_EQ(bar_lines(with.pages.back()), bar_lines(alone.pages.back()));
}

TEST(LeadSheet, NoMarksTouch) {
  for (const std::string& song : sung_songs()) {
    const Placement placed = sung(song);
    const Tune tune = tune_of(placed.progression, placed.key);
    ASSERT_FALSE(tune.notes.empty()) << song;
    for (const StaffKind kind : {StaffKind::tune, StaffKind::tune_and_left}) {
      for (const bool large : {false, true}) {
        PaperSettings paper;
        paper.staves = kind;
        paper.large = large;
        const Drawing drawing = lead_sheet_drawing(placed, tune, hands_of(placed), paper, "Mira Lind");
        for (const Page& page : drawing.pages) {
          for (const std::string& fault : page_faults(page)) ADD_FAILURE() << song.substr(0, 40) << ": " << fault;
        }
      }
    }
  }
}

TEST(LeadSheet, EverySyllableStandsOnThePage) {
  const Placement placed = sung(sung_songs()[1]);
  const Tune tune = tune_of(placed.progression, placed.key);
  PaperSettings paper;
  paper.staves = StaffKind::tune;
  const Drawing drawing = lead_sheet_drawing(placed, tune, hands_of(placed), paper, "");
  std::vector<std::string> words;
  for (const Page& page : drawing.pages) {
    for (const Mark& mark : page.marks) {
      const auto* text = std::get_if<TextMark>(&mark.shape);
      if (text != nullptr && mark.kind == MarkKind::words) words.push_back(text->text);
    }
  }
  std::vector<std::string> sung_words;
  for (const TuneNote& note : tune.notes) {
    if (!note.syllable.empty()) sung_words.push_back(note.syllable);
  }
  EXPECT_EQ(words, sung_words);
}

/// Those of a verse from left to right, and the numbers before them.
TEST(LeadSheet, VersesStandUnderEachOtherWithTheirNumbers) {
  const Placement placed = sung(sung_songs()[3]);
  const Tune tune = tune_of(placed.progression, placed.key);
  for (const StaffKind kind : {StaffKind::tune, StaffKind::tune_and_left}) {
    PaperSettings paper;
    paper.staves = kind;
    const Drawing drawing = lead_sheet_drawing(placed, tune, hands_of(placed), paper, "");
    ASSERT_EQ(drawing.pages.size(), 1U);
    std::map<double, std::map<double, std::string>> lines;  // by baseline, then by place
    for (const Mark& mark : drawing.pages[0].marks) {
      const auto* text = std::get_if<TextMark>(&mark.shape);
      if (text != nullptr && mark.kind == MarkKind::words) lines[text->baseline][text->x] = text->text;
    }
    std::vector<std::string> read;
    for (const auto& [baseline, words] : lines) {
      read.emplace_back();
      for (const auto& [x, text] : words) read.back() += text + " ";
    }
    EXPECT_EQ(read, (std::vector<std::string>{"1. We built a lit tle boat down the stream ",
                                              "2. The strength ened wind mills turned ", "3. I, too, would "}));
  }
}

/// The lengths of the measures in quarter notes, from their notes and rests on staff 1.
std::vector<double> measure_lengths(const std::string& text, int staff = 1) {
  test::Score score;
  test::read_score(text, score);
  std::vector<double> lengths;
  std::int64_t divisions = 1;
  for (const auto measure : score.tree.child("score-partwise").child("part").children("measure")) {
    divisions = measure.child("attributes").child("divisions").text().as_llong(divisions);
    Beats length;
    for (const auto note : measure.children("note")) {
      const bool here = note.child("staff").text().as_int(1) == staff && !note.child("chord");
      if (here) length += Beats(note.child("duration").text().as_llong(), divisions);
    }
    lengths.push_back(length.quarters());
  }
  return lengths;
}

/// The last bar is short by the upbeat (Gould, "Behind Bars", the chapter on metre; from memory), so that the song may
/// begin again without a beat too many.
TEST(LeadSheet, TheLastBarIsShortByTheUpbeat) {
  const auto lengths = [](const std::string& song, int staff) {
    const Placement placed = sung(song);
    const Tune tune = tune_on_paper(placed.progression, placed.key);
    return measure_lengths(lead_sheet_musicxml(placed, tune, hands_of(placed), "", true), staff);
  };
  const std::string head = "key: G\nmeter: 3/4\n";
  for (const int staff : {1, 2}) {
    EXPECT_EQ(lengths(head + "| G | D |\ntune: D2 | G2 A2 B2 | A4 z2 |\n", staff), (std::vector<double>{1, 3, 2}));
    // Written short, as ABC and hymnals do.
    EXPECT_EQ(lengths(head + "| G | D |\ntune: D2 | G2 A2 B2 | A4 |\n", staff), (std::vector<double>{1, 3, 2}));
    // The last note sounds on, or a chord comes in: the bar is whole.
    EXPECT_EQ(lengths(head + "| G | D |\ntune: D2 | G2 A2 B2 | A6 |\n", staff), (std::vector<double>{1, 3, 3}));
    EXPECT_EQ(lengths(head + "| G | D / D7 |\ntune: D2 | G2 A2 B2 | A4 z2 |\n", staff), (std::vector<double>{1, 3, 3}));
    EXPECT_EQ(lengths(head + "| G | D |\ntune: | G2 A2 B2 | A4 z2 |\n", staff), (std::vector<double>{3, 3}));
    // Chords after the tune go on in whole bars.
    EXPECT_EQ(lengths(head + "| G | D |\ntune: D2 | G2 A2 B2 | A4 z2 |\n| G |\n", staff),
              (std::vector<double>{1, 3, 3, 3}));
  }
}

TEST(LeadSheet, ARepeatOfAllBeginsBeforeTheUpbeat) {
  const Placement placed = sung("key: G\nmeter: 3/4\n|: G |1 D :|2 G |\ntune: D2 | G2 A2 B2 | A4 z2 | G4 z2 |\n");
  const Tune tune = tune_on_paper(placed.progression, placed.key);
  EXPECT_EQ(tune.short_bars, (std::vector<int>{2, 4}));
  const std::string text = lead_sheet_musicxml(placed, tune, hands_of(placed), "", false);
  EXPECT_EQ(measure_lengths(text), (std::vector<double>{1, 3, 2, 2}));
  const std::size_t repeat = text.find("<repeat direction=\"forward\"");
  EXPECT_LT(repeat, text.find("<measure number=\"1\""));
  EXPECT_EQ(text.find("<repeat direction=\"forward\"", repeat + 1), std::string::npos);
  // Its own reader plays it as the song: with the upbeat again before the second time.
  const auto read = read_tune_file(text, "sheet.musicxml");
  ASSERT_TRUE(read);
  EXPECT_EQ(tune_of(read->progression, placed.key), tune_of(placed.progression, placed.key));
  PaperSettings paper;
  paper.staves = StaffKind::tune;
  const Drawing drawing = lead_sheet_drawing(placed, tune, hands_of(placed), paper, "");
  for (const std::string& fault : page_faults(drawing.pages.at(0))) ADD_FAILURE() << fault;
}

/// A reader who comes to a line finds its chord, also where it goes on from the line before (common practice).
TEST(LeadSheet, EveryLineBeginsWithItsChord) {
  const Placement placed = sung(
      "key: C\n| C | F | G | C |\ntune: c8 | c8 | d8 | c8 |\n| C | C | G | C |\n"
      "tune: c8 | c8 | d8 | c8 |\n");
  const Tune tune = tune_on_paper(placed.progression, placed.key);
  PaperSettings paper;
  paper.staves = StaffKind::tune;
  const Drawing drawing = lead_sheet_drawing(placed, tune, hands_of(placed), paper, "");
  std::map<double, std::string> lines;  // by baseline
  for (const Mark& mark : drawing.pages.at(0).marks) {
    const auto* text = std::get_if<TextMark>(&mark.shape);
    if (text != nullptr && mark.kind == MarkKind::chord) lines[text->baseline] += text->text;
  }
  std::vector<std::string> read;
  for (const auto& [baseline, chords] : lines) read.push_back(chords);
  EXPECT_EQ(read, (std::vector<std::string>{"CFGC", "CGC"}));
}

TEST(LeadSheet, MusicXmlHasVersesThatItsReaderReads) {
  const Placement placed = sung(sung_songs()[3]);
  const Tune tune = tune_of(placed.progression, placed.key);
  const std::string text = lead_sheet_musicxml(placed, tune, hands_of(placed), "", true);
  EXPECT_NE(text.find("<lyric number=\"2\">"), std::string::npos);
  const auto read = read_tune_file(text, "sheet.musicxml");
  ASSERT_TRUE(read);
  EXPECT_EQ(tune_of(read->progression, placed.key), tune);
  // One verse alone has no number.
  const Placement single = sung(sung_songs()[0]);
  EXPECT_EQ(lead_sheet_musicxml(single, tune_of(single.progression, single.key), hands_of(single), "", false)
                .find("<lyric number"),
            std::string::npos);
}

TEST(LeadSheet, MusicXmlHasTheTuneInTwelveKeys) {
  for (const std::string& song : {sung_songs()[0], sung_songs()[1], sung_songs()[2]}) {
    const Placement home = sung(song);
    for (int fifths = -6; fifths <= 5; ++fifths) {
      const Key key = simplest_spelling({PitchClass(fifths), home.key.mode});
      const Placement placed = sung(song, KeyText{key.tonic, key.mode});
      const Tune tune = tune_of(placed.progression, placed.key);
      test::Score score;
      test::read_score(lead_sheet_musicxml(placed, tune, hands_of(placed), "Mira Lind", false), score);
      std::vector<int> read, wanted;
      std::vector<Beats> lengths, wanted_lengths;
      for (const test::ScoreNote& note : score.notes) {
        EXPECT_EQ(note.length, note.shown) << song.substr(0, 30);
        if (note.midi < 0) continue;
        if (note.tied_from) {
          lengths.back() += note.length;
          continue;
        }
        read.push_back(note.midi);
        lengths.push_back(note.length);
      }
      for (const TuneNote& note : tune.notes) {
        wanted.push_back(note.pitch.midi());
        wanted_lengths.push_back(note.length);
      }
      EXPECT_EQ(read, wanted) << to_string(key);
      EXPECT_EQ(lengths, wanted_lengths) << to_string(key);
    }
  }
}

TEST(LeadSheet, MusicXmlHasTheWordsAndTheUpbeat) {
  const Placement placed = sung(sung_songs()[0]);
  const Tune tune = tune_of(placed.progression, placed.key);
  test::Score score;
  test::read_score(lead_sheet_musicxml(placed, tune, hands_of(placed), "Mira Lind", true), score);
  const auto part = score.tree.child("score-partwise").child("part");
  EXPECT_STREQ(part.child("measure").attribute("number").value(), "0");
  EXPECT_STREQ(part.child("measure").attribute("implicit").value(), "yes");
  std::string words;
  for (const auto measure : part.children("measure")) {
    for (const auto note : measure.children("note")) {
      const auto lyric = note.child("lyric");
      if (!lyric) continue;
      const std::string place = lyric.child_value("syllabic");
      words += lyric.child_value("text") + std::string(place == "begin" || place == "middle" ? "-" : " ");
    }
  }
  EXPECT_EQ(words, "The snow came soft-ly o-ver our gate to-night ");
  EXPECT_STREQ(score.tree.child("score-partwise").child("identification").child("creator").child_value(), "Mira Lind");
}

}  // namespace
}  // namespace romanesca
