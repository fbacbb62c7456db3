// What surrounds the notes: header, chord symbols, numerals, accidentals, bar lines; and the file itself.
#include <gtest/gtest.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <set>
#include <sstream>

#include "tests/cli/formats/musicxml_chart.h"
#include "tests/cli/in_process.h"

namespace romanesca {
namespace {

namespace fs = std::filesystem;
using test::Chart;
using test::every_split;
using test::Score;
using test::values;

TEST(ChartMusicXml, HeaderHasTheSongsTitleKeyMeterAndTempo) {
  const Chart chart(
      "title: Rain & <Sun>\nkey: E dorian\ntempo: 60\nmeter: 6/8\n[Verse]\n| Em | A |\n[\"B\" part]\n| Em |\n");
  const pugi::xml_node root = chart.score.tree.child("score-partwise");
  EXPECT_STREQ(root.attribute("version").value(), "4.0");
  EXPECT_STREQ(root.child("work").child_value("work-title"), "Rain & <Sun>");
  EXPECT_STREQ(root.child("part-list").child("score-part").child_value("part-name"), "Piano");
  const pugi::xml_node attributes = chart.measure(1).child("attributes");
  EXPECT_STREQ(attributes.child("key").child_value("fifths"), "2");
  EXPECT_STREQ(attributes.child("key").child_value("mode"), "dorian");
  EXPECT_STREQ(attributes.child("time").child_value("beats"), "6");
  EXPECT_STREQ(attributes.child("time").child_value("beat-type"), "8");
  EXPECT_STREQ(attributes.child_value("staves"), "2");
  // The beat of 6/8 is a dotted quarter: 60 of them are 90 quarters.
  const pugi::xml_node metronome = chart.measure(1).select_node("direction/direction-type/metronome").node();
  EXPECT_STREQ(metronome.child_value("beat-unit"), "quarter");
  EXPECT_TRUE(metronome.child("beat-unit-dot"));
  EXPECT_STREQ(metronome.child_value("per-minute"), "60");
  EXPECT_STREQ(chart.measure(1).select_node("direction/sound").node().attribute("tempo").value(), "90");
  const auto mark = [&](int bar) {
    return chart.measure(bar).select_node("direction/direction-type/rehearsal").node();
  };
  EXPECT_STREQ(mark(1).child_value(), "Verse");
  EXPECT_FALSE(mark(2));
  EXPECT_STREQ(mark(3).child_value(), "\"B\" part");
  EXPECT_FALSE(chart.measure(1).child("barline"));
  EXPECT_STREQ(chart.measure(2).child("barline").child_value("bar-style"), "light-light");
  EXPECT_STREQ(chart.measure(3).child("barline").child_value("bar-style"), "light-heavy");
  EXPECT_FALSE(Chart("C G").measure(1).child("direction").child("sound"));  // no tempo was given
}

TEST(ChartMusicXml, HeldChordsAreTiedAndNotNamedAgain) {
  const Chart chart("| C | / / G / |\n");
  EXPECT_TRUE(chart.score.notes.front().tied_to);
  std::string names;
  for (const auto found : chart.score.tree.select_nodes("//harmony/root/root-step"))
    names += found.node().child_value();
  EXPECT_EQ(names, "CG");
  const pugi::xml_node words = chart.measure(2).select_node("direction/direction-type/words").node();
  EXPECT_EQ(words.child_value(), chart.json["chords"][2]["numeral"].get<std::string>());
  EXPECT_STREQ(chart.measure(2).select_node("direction").node().attribute("placement").value(), "below");
}

TEST(ChartMusicXml, ANewKeyIsNamedBeforeItsFirstNumeral) {
  std::string song;
  for (int i = 0; i < 5; ++i) song += "| C | F | G7 | C | F | C | G7 | C ";
  for (int i = 0; i < 5; ++i) song += "| G | Am | D7 | G | C | G | D7 | G ";
  const Chart chart(song + "|\n");
  int named = 0;
  for (const auto found : chart.score.tree.select_nodes("//words")) {
    const std::string words = found.node().child_value();
    if (words.find(": ") == std::string::npos) continue;
    EXPECT_TRUE(words.starts_with("G major: ")) << words;
    ++named;
  }
  EXPECT_EQ(named, 1);
}

// MusicXML 4.0, attributes: a key stands where it changes. The bars a tone higher have the signature of D, and their
// notes the accidentals of that signature.
TEST(ChartMusicXml, ANewKeyHasItsSignature) {
  const Chart chart("| C | Am | F | G | C | Am | F | G | D | Bm | G | A | D | Bm | G | A |\n");
  EXPECT_STREQ(chart.measure(1).child("attributes").child("key").child_value("fifths"), "0");
  EXPECT_STREQ(chart.measure(9).child("attributes").child("key").child_value("fifths"), "2");
  EXPECT_STREQ(chart.measure(9).child("attributes").child("key").child_value("mode"), "major");
  EXPECT_FALSE(chart.measure(9).child("attributes").child("time"));
  for (const int bar : {2, 8, 10, 16}) EXPECT_FALSE(chart.measure(bar).child("attributes")) << bar;
  for (const pugi::xml_node note : chart.measure(9).children("note")) EXPECT_FALSE(note.child("accidental"));
  const pugi::xml_node words = chart.measure(9).select_node("direction/direction-type/words").node();
  EXPECT_STREQ(words.child_value(), "D major: I");
  const auto& regions = chart.json;  // the chords of the chart's JSON name their key
  EXPECT_EQ(regions["chords"][8]["key"], "D major");
}

TEST(ChartMusicXml, NoChordIsARest) {
  const Chart chart("meter: 5/4\n| C | N.C. | N.C. / / C / |\n");
  int bar_rests = 0;
  for (const auto note : chart.measure(2).children("note")) {
    bar_rests += note.child("rest").attribute("measure").as_bool() ? 1 : 0;
  }
  EXPECT_EQ(bar_rests, 2);
  EXPECT_EQ(values(chart, 3), "half. half");
  EXPECT_TRUE(chart.measure(3).child("note").child("rest"));
  EXPECT_FALSE(chart.measure(3).child("note").child("rest").attribute("measure"));
}

TEST(ChartMusicXml, AccidentalsAreWrittenWhereTheKeySignatureDiffers) {
  const Chart chart("key: C major\n| E E C#dim C | Bb | Eb E |\n");
  std::string signs;
  for (const auto found : chart.score.tree.select_nodes("//note[staff=1]")) {
    const pugi::xml_node note = found.node();
    const std::string alter = note.child("pitch").child_value("alter");
    signs += std::string(note.child("pitch").child_value("step")) +
             (alter == "1"    ? "#"
              : alter == "-1" ? "b"
                              : "") +
             note.child("pitch").child_value("octave") + ":" + note.child_value("accidental") + " ";
  }
  // The sharp of the third holds until the bar line; a later note without it in the bar gets a natural.
  EXPECT_EQ(signs,
            "E4: G#4:sharp B4: E4: G#4: B4: E4: G4:natural C#5:sharp E4: G4: C5:natural "
            "D4: F4: Bb4:flat Eb4:flat G4: Bb4:flat E4:natural G#4:sharp B4:natural ");
}

TEST(ChartMusicXml, ManySplitsGiveEachBarItsOwnDivisions) {
  const Chart chart(every_split({4, 4}));
  std::set<std::string> divisions;
  for (const auto found : chart.score.tree.select_nodes("//divisions")) divisions.insert(found.node().child_value());
  EXPECT_GT(divisions.size(), 10U);
  for (const std::string& each : divisions) EXPECT_LE(std::stoi(each), 16383);
  const Chart plain("| C D E | C D | C D E F G |\n");
  EXPECT_EQ(plain.score.tree.select_nodes("//divisions").size(), 1U);
  EXPECT_STREQ(plain.measure(1).child("attributes").child_value("divisions"), "15");
}

TEST(ChartMusicXml, TheFileIsCompleteOrMissing) {
  const fs::path folder = fs::temp_directory_path() / ("romanesca-musicxml-" + std::to_string(getpid()));
  fs::create_directories(folder);
  const auto write = [&](const std::string& name) {
    return test::run_in_process({"chart", "doo-wop", "--key", "Eb", "--out", (folder / name).string()}).status;
  };
  EXPECT_EQ(write("a.musicxml"), 0);
  EXPECT_EQ(write("b.xml"), 0);
  EXPECT_EQ(write("nowhere/c.musicxml"), 3);
  fs::create_directories(folder / "d.musicxml");
  EXPECT_EQ(write("d.musicxml"), 3);
  EXPECT_EQ(std::distance(fs::directory_iterator(folder), {}), 3);
  Score score;
  std::ifstream file(folder / "b.xml");
  std::stringstream text;
  text << file.rdbuf();
  test::read_score(text.str(), score);
  EXPECT_EQ(score.bars, 4);
  EXPECT_TRUE(text.str().ends_with("</score-partwise>\n"));
  fs::remove_all(folder);
}

}  // namespace
}  // namespace romanesca
