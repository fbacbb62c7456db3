// Notes and note values: properties of every song's score.
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <set>
#include <sstream>
#include <tuple>

#include "tests/cli/formats/musicxml_chart.h"

namespace romanesca {
namespace {

namespace fs = std::filesystem;
using Json = nlohmann::json;
using test::Chart;
using test::every_split;
using test::Score;
using test::ScoreNote;
using test::values;

std::vector<std::string> songs() {
  std::vector<std::string> all{
      "| C | / / G / | G | / D/F# / / | N.C. | / C / / |\n",
      "meter: 5/4\ntempo: 120\n| C | F G | C D E | C / / G / | N.C. |\n",
      "meter: 6/8\n[A]\n| Ebm9 | Ab13 / / Gb / / | % |\n[B]\n| Bbm7b5/Fb |\n",
      "key: F# minor\n| i | iv7 bVII | V7(b9) | i |\n",
      "| Cmaj7 A7alt | Dm11 G13(b9) | Fb Cb Gb | B#dim7 E## |\n",
  };
  for (const char* name : {"lantern-walk", "paper-boats"}) {
    std::ifstream file(fs::path(SOURCE_ROOT) / "demo" / (std::string(name) + ".txt"));
    std::stringstream text;
    text << file.rdbuf();
    all.push_back(text.str());
  }
  for (const Meter& meter : all_meters) all.push_back(every_split(meter));
  return all;
}

/// The notes of one hand that begin with a chord, and the length of the hand's notes or rests within the chord.
struct HandNotes {
  Json notes = Json::array();
  Beats length;
};
HandNotes hand_notes(const Score& score, int bar, const Chart::Time& time, int staff) {
  HandNotes hand;
  std::set<std::pair<std::int64_t, std::int64_t>> starts;
  for (const ScoreNote& note : score.notes) {
    const bool within = note.start >= time.start && note.start < time.start + time.length;
    if (note.bar != bar || note.staff != staff || !within) continue;
    if (starts.insert({note.start.numerator(), note.start.denominator()}).second) hand.length += note.length;
    if (note.start != time.start || note.midi < 0) continue;
    Json json{{"note", note.name}, {"midi", note.midi}};
    if (!note.tied_from) json["finger"] = note.finger;
    hand.notes.push_back(json);
  }
  return hand;
}

TEST(ChartMusicXml, NotesAreThoseOfChartJson) {
  for (const std::string& song : songs()) {
    const Chart chart(song);
    ASSERT_EQ(chart.json["chords"].size(), chart.times.size());
    for (std::size_t i = 0; i < chart.times.size(); ++i) {
      Json chord = chart.json["chords"][i];
      for (const int staff : {1, 2}) {
        const HandNotes hand = hand_notes(chart.score, chord["bar"], chart.times[i], staff);
        Json& expected = chord[staff == 1 ? "right" : "left"];
        for (std::size_t n = 0; n < expected.size() && n < hand.notes.size(); ++n) {
          if (!hand.notes[n].contains("finger")) expected[n].erase("finger");
          expected[n].erase("stays");  // not in the score
        }
        EXPECT_EQ(hand.notes, expected) << song << chord;
        EXPECT_EQ(hand.length, chart.times[i].length) << song << chord;
      }
    }
  }
}

TEST(ChartMusicXml, EveryBarIsFullAndNoteTypesMatchDurations) {
  for (const std::string& song : songs()) {
    const Chart chart(song);
    std::map<std::pair<int, int>, Beats> filled;  // by bar and staff
    for (const ScoreNote& note : chart.score.notes) {
      Beats& end = filled[{note.bar, note.staff}];
      EXPECT_EQ(note.shown, note.length) << song << "bar " << note.bar;
      // Begins where the one before ended, or together with it (a chord).
      EXPECT_TRUE(note.start == end || note.start + note.length == end) << song << "bar " << note.bar;
      end = note.start + note.length;
    }
    ASSERT_EQ(filled.size(), static_cast<std::size_t>(2 * chart.score.bars)) << song;
    for (const auto& [place, end] : filled) EXPECT_EQ(end, chart.bar_length) << song << "bar " << place.first;
  }
}

TEST(ChartMusicXml, TiesAreBalanced) {
  int ties = 0;
  for (const std::string& song : songs()) {
    const Chart chart(song);
    std::multiset<std::tuple<int, std::string, std::int64_t, std::int64_t>> open;
    const auto at = [&](const ScoreNote& note, Beats time) {
      time += chart.bar_length * note.bar;
      return std::tuple{note.staff, note.name, time.numerator(), time.denominator()};
    };
    for (const ScoreNote& note : chart.score.notes) {
      if (note.tied_to) open.insert(at(note, note.start + note.length));
    }
    for (const ScoreNote& note : chart.score.notes) {
      if (!note.tied_from) continue;
      const auto from = open.find(at(note, note.start));
      ASSERT_NE(from, open.end()) << song << note.name << " in bar " << note.bar;
      open.erase(from);
      ++ties;
    }
    EXPECT_TRUE(open.empty()) << song;
    for (const auto found : chart.score.tree.select_nodes("//note")) {
      const pugi::xml_node note = found.node();
      EXPECT_EQ(std::distance(note.children("tie").begin(), note.children("tie").end()),
                std::distance(note.child("notations").children("tied").begin(),
                              note.child("notations").children("tied").end()));
    }
  }
  EXPECT_GT(ties, 100);
}

TEST(ChartMusicXml, TupletBracketsOpenAndClose) {
  for (const Meter& meter : all_meters) {
    const Chart chart(every_split(meter));
    for (int bar = 1; bar <= 24; ++bar) {
      std::string brackets;  // of both staves
      for (const auto note : chart.measure(bar).children("note")) {
        for (const auto mark : note.child("notations").children("tuplet")) {
          brackets += std::string(mark.attribute("type").value()) == "start" ? '(' : ')';
        }
      }
      std::string expected;
      for (std::size_t i = 0; i < brackets.size() / 2; ++i) expected += "()";
      EXPECT_EQ(brackets, expected) << to_string(meter) << " bar " << bar;
      EXPECT_EQ(brackets.empty(), !chart.measure(bar).select_node("note/time-modification")) << bar;
    }
  }
}

TEST(ChartMusicXml, NoteValuesFollowCommonNotation) {
  const Chart four("| C | F G | C D E | C / / G | C D E F G A C D E F G A | C D E F G |\n");
  EXPECT_EQ(values(four, 1), "whole");
  EXPECT_EQ(values(four, 2), "half half");
  EXPECT_EQ(values(four, 3), "half 3:2 half 3:2 half 3:2");
  EXPECT_EQ(values(four, 4), "half. quarter");
  EXPECT_EQ(values(four, 5).substr(0, 38), "eighth 3:2 eighth 3:2 eighth 3:2 eight");
  EXPECT_EQ(values(four, 6).substr(0, 11), "quarter 5:4");
  const Chart five("meter: 5/4\n| C | F G | C D E |\n");
  EXPECT_EQ(values(five, 1), "half. half");
  EXPECT_EQ(values(five, 2), "half eighth eighth half");
  EXPECT_EQ(values(five, 3), "quarter 3:5 quarter 3:5 quarter 3:5");
  const Chart six("meter: 6/8\n| C | F G | C / / / G / |\n");
  EXPECT_EQ(values(six, 1), "half.");
  EXPECT_EQ(values(six, 2), "quarter. quarter.");
  EXPECT_EQ(values(six, 3), "quarter. eighth quarter");
  EXPECT_EQ(values(Chart("meter: 9/8\n| C |\n"), 1), "half. quarter.");
}

}  // namespace
}  // namespace romanesca
