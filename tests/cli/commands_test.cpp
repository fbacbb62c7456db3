#include <gtest/gtest.h>
#include <unistd.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <nlohmann/json.hpp>

#include "cli/commands/command_table.h"
#include "progressions/level.h"
#include "tests/cli/in_process.h"

namespace romanesca {
namespace {

namespace fs = std::filesystem;
using test::run_in_process;
using Json = nlohmann::json;

class Commands : public testing::Test {
 protected:
  void SetUp() override {
    folder_ = fs::temp_directory_path() / ("romanesca-cli-" + std::to_string(getpid()));
    fs::create_directories(folder_);
  }
  void TearDown() override { fs::remove_all(folder_); }
  std::string path(const std::string& name) const { return (folder_ / name).string(); }
  void put(const std::string& name, const std::string& text) const {
    std::ofstream(path(name), std::ios::binary) << text;
  }
  static std::string read(const std::string& file) {
    std::ifstream in(file, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
  }
  std::size_t files() const { return static_cast<std::size_t>(std::distance(fs::directory_iterator(folder_), {})); }

  fs::path folder_;
};

Json json_of(const std::vector<std::string>& arguments, const std::string& input = "") {
  const auto outcome = run_in_process(arguments, input);
  EXPECT_EQ(outcome.status, 0) << outcome.err;
  EXPECT_EQ(outcome.err, "");
  return Json::parse(outcome.out);
}

TEST_F(Commands, InputKindsAreTriedInOrder) {
  put("song", "C F G C\n");
  EXPECT_EQ(json_of({"analyse", "-", "--json"}, "| G | C | D | G |\n")["key"]["tonic"], "G");
  EXPECT_EQ(json_of({"analyse", path("song"), "--json"})["chords"].size(), 4U);
  EXPECT_EQ(json_of({"analyse", "doo-wop", "--json"})["chords"][1]["numeral"], "vi");
  EXPECT_EQ(json_of({"analyse", "D G A D", "--json"})["key"]["tonic"], "D");
  // A file takes precedence over a pattern of the same name.
  fs::current_path(folder_);
  put("doo-wop", "E A B E\n");
  EXPECT_EQ(json_of({"analyse", "doo-wop", "--json"})["chords"][0]["symbol"], "E");
  fs::current_path("/");
}

TEST_F(Commands, AnalyseJsonHasTheDocumentedFields) {
  const Json output = json_of({"analyse", "--json", "-"},
                              "title: Rain\nkey: G major\n[Verse]\n| G | D/F# | Em | C |\n| N.C. | C / D / |\n");
  EXPECT_EQ(output["schema"], 1);
  EXPECT_EQ(output["key"]["tonic"], "G");
  EXPECT_EQ(output["key"]["mode"], "major");
  EXPECT_TRUE(output["key"]["confidence"].is_number());
  const Json& chord = output["chords"][1];
  EXPECT_EQ(chord["section"], "Verse");
  EXPECT_EQ(chord["bar"], 2);
  EXPECT_EQ(chord["beat"], 1);
  EXPECT_EQ(chord["beats"], 4);
  EXPECT_EQ(chord["symbol"], "D/F#");
  EXPECT_EQ(chord["root"], "D");
  EXPECT_EQ(chord["bass"], "F#");
  EXPECT_EQ(chord["tones"], (Json{"D", "F#", "A"}));
  EXPECT_EQ(chord["key"], "G major");
  EXPECT_EQ(chord["numeral"], "V6");
  EXPECT_EQ(chord["function"], "dominant");
  EXPECT_EQ(chord["diatonic"], true);
  EXPECT_EQ(output["chords"][4]["symbol"], "N.C.");
  EXPECT_EQ(output["chords"][6]["beat"], 3);
  EXPECT_EQ(output["patterns"][0]["id"], "singer-songwriter");
  EXPECT_EQ(output["patterns"][0]["bars"], 4);
  for (const char* name : {"alternatives", "cadences", "remarks"}) EXPECT_TRUE(output[name].is_array()) << name;
}

TEST_F(Commands, AnalyseSuggestsWhatToTryNext) {
  const Json output = json_of({"analyse", "C G Am F", "--json", "--next", "--level", "3"});
  EXPECT_EQ(output["level"], 3);
  ASSERT_EQ(output["ideas"].size(), 3U);
  for (const Json& idea : output["ideas"]) {
    EXPECT_FALSE(idea["chords"].empty());
    const std::string progression = idea["progression"];
    EXPECT_EQ(idea["command"], "romanesca play \"" + progression + "\"");
    // The bars can be heard at once: the program reads them as they stand.
    const std::string file = (folder_ / "idea.mid").string();
    EXPECT_EQ(run_in_process({"render", progression, "--out", file}).status, 0) << progression;
  }
  ASSERT_FALSE(output["next"].empty());
  EXPECT_TRUE(output["next"][0]["reason"].is_string());
  EXPECT_FALSE(json_of({"analyse", "C G Am F", "--json"}).contains("next"));
  std::string song;  // five times round in C, then in G
  for (int i = 0; i < 5; ++i) song += "| C | F | G7 | C | F | C | G7 | C ";
  for (int i = 0; i < 5; ++i) song += "| G | Am | D7 | G | C | G | D7 | G ";
  const Json moving = json_of({"analyse", "--json", song + "|"});
  ASSERT_EQ(moving["pivots"].size(), 1U);
  EXPECT_EQ(moving["pivots"][0]["from"], "C major");
  EXPECT_EQ(moving["pivots"][0]["to"], "G major");
}

// On a narrow terminal every line fits, and nothing is left out.
TEST_F(Commands, ChartFitsTheTerminal) {
  for (const int width : {30, 60, 100}) {
    std::istringstream in;
    std::ostringstream out, err;
    Console console{in, out, err, true, true, false, width, {}};
    EXPECT_EQ(run_program({"chart", "| Am7 | D7 | Gmaj7 | Cmaj7 |", "--left", "fifth"}, console), ExitStatus::done);
    std::istringstream lines(out.str());
    for (std::string line; std::getline(lines, line);) EXPECT_LE(line.size(), static_cast<std::size_t>(width)) << line;
    for (const char* word : {"Am7", "ii7", "G4", "1 2 3 5", "root position"}) {
      EXPECT_NE(out.str().find(word), std::string::npos) << word << " at " << width;
    }
  }
}

TEST_F(Commands, ChartMentionsASecondKey) {
  const auto chart = [](const std::string& text) { return run_in_process({"chart", text}).out; };
  EXPECT_NE(chart("C G D A").find("G major is possible too"), std::string::npos) << chart("C G D A");
  EXPECT_EQ(chart("C F G C").find("possible too"), std::string::npos);
  EXPECT_EQ(run_in_process({"chart", "-"}, "key: D\nC G D A\n").out.find("possible too"), std::string::npos);
}

TEST_F(Commands, ALoopHasRepeatSignsInMusicXml) {
  const auto score = [&](std::vector<std::string> more) {
    std::vector<std::string> words{"chart", "C F", "--out", path("x.musicxml")};
    words.insert(words.end(), more.begin(), more.end());
    EXPECT_EQ(run_in_process(words).status, 0);
    return read(path("x.musicxml"));
  };
  EXPECT_EQ(score({}).find("<repeat"), std::string::npos);
  const std::string looped = score({"--loop"});
  EXPECT_LT(looped.find("<repeat direction=\"forward\""), looped.find("<repeat direction=\"backward\""));
  EXPECT_NE(looped.find("<repeat direction=\"backward\""), std::string::npos);
}

// A teacher's own levels are in the configuration folder; an error in them is reported with its place.
TEST_F(Commands, TeachersOwnLevels) {
  std::string own(level_texts().front().text);
  own.replace(own.find("span = 7"), 8, "span = 12");
  own.replace(own.find("inversions = 0"), 14, "inversions = 3");
  put("levels.toml", own);
  const auto shape = [&](const fs::path& folder) {
    const auto outcome = run_in_process({"chart", "C G", "--level", "1", "--json"}, "", folder);
    return Json::parse(outcome.out)["chords"][1]["inversion"].get<int>();
  };
  EXPECT_EQ(shape({}), 0);
  EXPECT_NE(shape(folder_), 0);
  own.replace(own.find("span = 12"), 9, "span = 99");
  put("levels.toml", own);
  const auto fault = run_in_process({"chart", "C G", "--level", "1"}, "", folder_);
  EXPECT_EQ(fault.status, 2);
  EXPECT_NE(fault.err.find("levels.toml:"), std::string::npos) << fault.err;
  EXPECT_NE(fault.err.find("level 1: span must be 7 to 24"), std::string::npos) << fault.err;
}

// British and American textbooks name cadences differently (Open Music Theory names both).
TEST_F(Commands, CadencesAreNamedInTheTermsAskedFor) {
  const auto text = [&](std::vector<std::string> arguments) { return run_in_process(arguments).out; };
  EXPECT_NE(text({"analyse", "C F G C"}).find("a perfect cadence"), std::string::npos);
  EXPECT_NE(text({"analyse", "C F G C", "--terms", "british"}).find("a perfect cadence"), std::string::npos);
  const std::string american = text({"analyse", "C F G C", "--terms", "american"});
  EXPECT_NE(american.find("an authentic cadence"), std::string::npos);
  EXPECT_EQ(american.find("perfect"), std::string::npos);
  const std::string exercise = text({"exercise", "--id", "your-own-ending", "--level", "3", "--terms", "american"});
  EXPECT_EQ(exercise.find("perfect"), std::string::npos) << exercise;
  EXPECT_EQ(run_in_process({"analyse", "C", "--terms", "other"}).status, 2);
}

// An exercise with a song says which chords its level made simpler.
TEST_F(Commands, AnExerciseSaysWhatItMadeSimpler) {
  const Json output =
      json_of({"exercise", "key: C\n| Cmaj7 | Am7 | F | G |", "--id", "layer-by-layer", "--level", "2", "--json"});
  const Json& exercise = output["exercises"][0];
  EXPECT_EQ(exercise["made_simpler"], "Here Cmaj7 is played as C, Am7 as Am.");
  const std::string goal = exercise["goal"];
  EXPECT_TRUE(goal.ends_with("Here Cmaj7 is played as C, Am7 as Am.")) << goal;
  const Json plain =
      json_of({"exercise", "key: C\n| C | Am | F | G |", "--id", "layer-by-layer", "--level", "2", "--json"});
  EXPECT_FALSE(plain["exercises"][0].contains("made_simpler"));
}

TEST_F(Commands, TransposeSimplifies) {
  const Json output = json_of({"transpose", "| Ab | Fm7 | Db/F | Eb9 |", "--simplify", "2", "--json"});
  EXPECT_EQ(output["key"]["tonic"], "G");
  EXPECT_EQ(output["chords"][1]["symbol"], "Em");
  EXPECT_EQ(output["changes"].size(), 4U);
  // Its output can be read again.
  const auto text = run_in_process({"transpose", "| Ab | Fm7 | Db/F | Eb9 |", "--simplify", "2"});
  EXPECT_EQ(json_of({"analyse", "-", "--json"}, text.out)["chords"].size(), 4U);
}

TEST_F(Commands, ChartJsonHasBothHands) {
  const Json output = json_of({"chart", "I vi IV V", "--key", "Eb", "--json"});
  EXPECT_EQ(output["key"]["tonic"], "Eb");
  int moved = 0;
  for (std::size_t i = 0; i < 4; ++i) {
    const Json& chord = output["chords"][i];
    EXPECT_EQ(chord["left"].size(), 1U);
    ASSERT_EQ(chord["right"].size(), 3U);
    const int inversion = chord["inversion"];
    const std::string lowest = chord["right"][0]["note"];
    EXPECT_EQ(lowest.substr(0, lowest.size() - 1), chord["tones"][static_cast<std::size_t>(inversion)]);
    if (i == 0) continue;
    for (std::size_t v = 0; v < 3; ++v) {
      moved += std::abs(chord["right"][v]["midi"].get<int>() - output["chords"][i - 1]["right"][v]["midi"].get<int>());
    }
  }
  EXPECT_EQ(output["movement"]["semitones"], moved);
}

TEST_F(Commands, ReadShowsASongAndWhatWasDecided) {
  const auto shown = run_in_process({"read", "Verse: c am (x2)\nChorus: f g\nVerse"});
  EXPECT_EQ(shown.status, 0);
  EXPECT_EQ(shown.out,
            "[Verse]\n|: C | Am :|\n\n[Chorus]\n| F | G |\n\n[Verse]\n\n"
            "Decided:\n  lower case read as chord names\n");
  const auto json = Json::parse(run_in_process({"read", "C a F G\nla la la", "--json"}).out);
  EXPECT_EQ(json["bars"][1]["chords"][0]["symbol"], "Am");
  EXPECT_EQ(json["bars"][0]["words"], "la");
  EXPECT_EQ(json["decisions"][0]["text"], "chords in lower case read as minor");
  EXPECT_EQ(run_in_process({"analyse", "C a F G"}).err, "romanesca: chords in lower case read as minor\n");
  EXPECT_EQ(run_in_process({"analyse", "C a F G", "--quiet"}).err, "");
  EXPECT_EQ(run_in_process({"transpose", "--names", "german", "--key", "Bb", "B F B"}).out,
            "names: german\nkey: B major\n\n| B | F | B |\n");
}

TEST_F(Commands, AStyleThatDoesNotExistIsToldOrRefused) {
  const std::string song = "style: valtz\nmeter: 3/4\n| C | G7 |\n";
  const auto read = run_in_process({"read", "-"}, song);
  EXPECT_EQ(read.status, 0);
  EXPECT_NE(read.out.find("unknown style \"valtz\": did you mean waltz?"), std::string::npos) << read.out;
  EXPECT_NE(run_in_process({"chart", "-"}, song).err.find("did you mean waltz?"), std::string::npos);
  EXPECT_EQ(run_in_process({"chart", "-", "--quiet"}, song).err, "");
  const auto rendered = run_in_process({"render", "-", "--out", path("x.wav")}, song);
  EXPECT_EQ(rendered.status, 2);
  EXPECT_EQ(rendered.err.find("valtz"), rendered.err.rfind("valtz")) << "told once: " << rendered.err;
  EXPECT_NE(run_in_process({"chart", "-"}, "style: waltz\n| C |\n").err.find("the style waltz is in 3/4"),
            std::string::npos);
}

TEST_F(Commands, AKeyRealisesNumeralsAndTransposesChords) {
  EXPECT_EQ(run_in_process({"transpose", "I vi7 IV V65/V", "--key", "Db"}).out,
            "key: Db major\n\n| Db | Bbm7 | Gb | Eb7/G |\n");
  EXPECT_EQ(run_in_process({"transpose", "i VI III VII", "--key", "E"}).out, "key: E minor\n\n| Em | C | G | D |\n");
  EXPECT_EQ(run_in_process({"transpose", "C Am F G C", "--key", "A flat"}).out,
            "key: Ab major\n\n| Ab | Fm | Db | Eb | Ab |\n");
  EXPECT_EQ(run_in_process({"transpose", "dorian-vamp", "--key", "E"}).out, "key: E dorian\n\n| Em | A |\n");
  // Chords that are heard in A minor too are moved from there, with a word; a key that was stated is not changed.
  const auto relative = run_in_process({"transpose", "Am F C G", "--key", "F# minor"});
  EXPECT_EQ(relative.out, "key: F# minor\n\n| F#m | D | A | E |\n");
  EXPECT_NE(relative.err.find("moved from A minor to F# minor, 3 semitones down"), std::string::npos) << relative.err;
  EXPECT_EQ(run_in_process({"transpose", "F Bb C F", "--from", "Bb", "--key", "C"}).out,
            "key: C major\n\n| G | C | D | G |\n");
  EXPECT_EQ(run_in_process({"transpose", "F Bb C F", "--from", "F", "--key", "C"}).err, "");
  const auto mode = run_in_process({"transpose", "C Am F G C", "--from", "C major", "--key", "A minor"});
  EXPECT_EQ(mode.status, 2);
  EXPECT_NE(mode.err.find("write --key \"A major\""), std::string::npos) << mode.err;
}

TEST_F(Commands, TheEndingOfOutSelectsTheFormat) {
  EXPECT_EQ(run_in_process({"chart", "doo-wop", "--out", path("a.txt")}).status, 0);
  EXPECT_NE(read(path("a.txt")).find("right hand"), std::string::npos);
  EXPECT_EQ(run_in_process({"chart", "doo-wop", "--out", path("a.json")}).status, 0);
  EXPECT_EQ(Json::parse(read(path("a.json")))["schema"], 1);
  const auto unknown = run_in_process({"chart", "doo-wop", "--out", path("a.docx")});
  EXPECT_EQ(unknown.status, 2);
  EXPECT_EQ(
      unknown.err,
      "romanesca: --out: .docx files cannot be written here\n    end the name in .pdf, .svg, .png, .musicxml, .xml, "
      ".txt or .json\n");
  EXPECT_EQ(files(), 2U);
}

TEST_F(Commands, RenderJsonAndFiles) {
  const Json output = json_of({"render", "I vi IV V", "--key", "Eb", "--tempo", "92", "--json", "--out",
                               path("loop.wav"), "--out", path("loop.mid")});
  EXPECT_EQ(output["frames"], 500870);
  EXPECT_EQ(output["bars"], 4);
  EXPECT_EQ(output["key"], "Eb major");
  EXPECT_EQ(output["tempo"], 92);
  EXPECT_EQ(output["meter"], "4/4");
  EXPECT_EQ(output["sample_rate"], 48000);
  EXPECT_NEAR(output["loudness_lufs"].get<double>(), -16, 0.5);
  EXPECT_LE(output["true_peak_dbtp"].get<double>(), -1);
  EXPECT_EQ(output["files"][0]["part"], "mix");
  // The samples, the header, and a little for the loop points and tags.
  EXPECT_GE(fs::file_size(path("loop.wav")), 44 + 500870U * 6);
  EXPECT_LE(fs::file_size(path("loop.wav")), 44 + 500870U * 6 + 4096);
  EXPECT_EQ(files(), 2U);
}

TEST_F(Commands, RenderIsDeterministic) {
  for (const char* name : {"a.wav", "b.wav"}) {
    EXPECT_EQ(run_in_process({"render", "doo-wop", "--bits", "16", "--out", path(name)}).status, 0);
  }
  EXPECT_EQ(read(path("a.wav")), read(path("b.wav")));
}

TEST_F(Commands, RenderPlaysAMidiFile) {
  ASSERT_EQ(run_in_process({"render", "doo-wop", "--out", path("a.mid")}).status, 0);
  const Json output = json_of({"render", path("a.mid"), "--json", "--out", path("b.wav")});
  EXPECT_EQ(output["bars"], 4);
  EXPECT_EQ(output["meter"], "4/4");
  EXPECT_GT(output["frames"], 400000);
  const auto with_key = run_in_process({"render", path("a.mid"), "--key", "D", "--out", path("c.wav")});
  EXPECT_EQ(with_key.status, 2);
  EXPECT_NE(with_key.err.find("played as it is"), std::string::npos);
}

TEST_F(Commands, CountInComesFirstAndMuteWorks) {
  const Json counted =
      json_of({"render", "I V", "--tempo", "120", "--count-in", "1", "--json", "--out", path("a.wav")});
  EXPECT_GT(counted["frames"], 3 * 4 * 24000);
  const auto no_part = run_in_process({"render", "I V", "--mute", "kazoo", "--out", path("b.wav")});
  EXPECT_EQ(no_part.status, 2);
  EXPECT_NE(no_part.err.find("the parts are drums, bass, keys, guitar, pad"), std::string::npos) << no_part.err;
  EXPECT_EQ(run_in_process({"render", "I V", "--mute", "keys", "--out", path("c.wav")}).status, 0);
  EXPECT_EQ(files(), 2U);
}

TEST_F(Commands, TheKeysPartIsLeftToTheStudent) {
  const auto parts = [&](std::vector<std::string> more) {
    more.insert(more.begin(), {"render", "I V", "--style", "rock", "--json", "--out", path("a.mid")});
    return json_of(more)["parts"];
  };
  EXPECT_EQ(parts({}), (Json{"drums", "bass", "organ", "guitar"}));
  EXPECT_EQ(parts({"--with", "keys"}), (Json{"drums", "bass", "keys", "organ", "guitar"}));
  EXPECT_EQ(parts({"--only", "keys", "--count-in", "1"}), (Json{"keys", "count-in"}));
  EXPECT_EQ(parts({"--guide", "melody", "--click", "--mute", "guitar"}),
            (Json{"drums", "bass", "organ", "guide", "click"}));
}

TEST_F(Commands, APracticeSetHasAFileForEachKeyAndTempo) {
  const Json output =
      json_of({"render", "I V", "--key", "Eb", "--tempos", "60, 90", "--all-keys", "--json", "--out", path("set.mid")});
  EXPECT_EQ(output["files"].size(), 24U);
  EXPECT_EQ(files(), 24U);
  EXPECT_TRUE(fs::exists(path("set-Eb-60.mid")));
  EXPECT_TRUE(fs::exists(path("set-Bb-90.mid")));
  EXPECT_EQ(output["files"][1]["tempo"], 90);
  EXPECT_EQ(output["files"][2]["key"], "Bb major");
}

TEST_F(Commands, StemsAreOneFilePerPart) {
  const Json output =
      json_of({"render", "I V", "--style", "rock", "--stems", path("stems"), "--json", "--out", path("mix.wav")});
  ASSERT_EQ(output["files"].size(), 5U);
  EXPECT_EQ(output["files"][0]["part"], "mix");
  EXPECT_EQ(output["files"][2]["path"], path("stems/mix-bass.wav"));
  EXPECT_EQ(fs::file_size(path("stems/mix-bass.wav")), fs::file_size(path("mix.wav")));
}

TEST_F(Commands, StepUpRaisesTheKeyEachTime) {
  const auto outcome = run_in_process({"render", "I", "--key", "C", "--repeat", "3", "--step-up", "--ending", "hold",
                                       "--tempo", "120", "--json", "--out", path("a.mid")});
  EXPECT_EQ(outcome.status, 0) << outcome.err;
  const std::string midi = read(path("a.mid"));
  const auto c = midi.find(
      "\x06\x01"
      "C");
  const auto g = midi.find(
      "\x06\x01"
      "G",
      c);
  EXPECT_NE(midi.find("\x06\x01"
                      "D",
                      g),
            std::string::npos);
  EXPECT_EQ(Json::parse(outcome.out)["bars"], 3);
}

TEST_F(Commands, AnInvalidSoundFontIsRefused) {
  put("piano.sf2", "not a font");
  for (const char* font : {"piano.sf2", "missing.sf2"}) {
    const auto outcome = run_in_process({"render", "I V", "--soundfont", path(font), "--out", path("a.wav")});
    EXPECT_EQ(outcome.status, 3);
    EXPECT_NE(outcome.err.find("--soundfont: "), std::string::npos) << outcome.err;
    EXPECT_FALSE(fs::exists(path("a.wav")));
  }
}

TEST_F(Commands, TeachersOwnStyles) {
  fs::create_directories(folder_ / "styles");
  put("styles/lullaby.toml",
      "meter = \"3/4\"\nfeel = \"rocking\"\ntempo = [50, 60, 70]\nsteps_per_beat = 1\n[pad]\ninstrument = "
      "\"strings\"\nplay = \"x--\"\n");
  const auto run = [&](const std::vector<std::string>& arguments) {
    std::istringstream in;
    std::ostringstream out, err;
    Console console{in, out, err, false, false, false, 80, folder_};
    const ExitStatus status = run_program(arguments, console);
    return std::make_pair(status, out.str() + err.str());
  };
  EXPECT_NE(run({"styles", "--meter", "3/4"}).second.find("lullaby"), std::string::npos);
  const auto rendered =
      run({"render", "meter: 3/4\n| C | G |", "--style", "lullaby", "--json", "--out", path("a.mid")});
  EXPECT_EQ(rendered.first, ExitStatus::done) << rendered.second;
  EXPECT_EQ(Json::parse(rendered.second)["parts"], Json{"pad"});
  put("styles/lullaby.toml", "meter = \"3/4\"\ntempo = [50, 60, 70]\nsteps_per_beat = 1\n[pad]\nplay = \"x-\"\n");
  const auto bad = run({"styles"});
  EXPECT_EQ(bad.first, ExitStatus::wrong_input);
  EXPECT_NE(bad.second.find("lullaby.toml:5"), std::string::npos) << bad.second;
}

TEST_F(Commands, JsonListsAreNamedAfterTheirCommands) {
  EXPECT_GE(json_of({"progressions", "--json"})["progressions"].size(), 40U);
  EXPECT_GE(json_of({"styles", "--json"})["styles"].size(), 5U);
  EXPECT_EQ(json_of({"styles", "--meter", "3/4", "--json"})["styles"][0]["id"], "jazz-waltz");
  const Json found = json_of({"progressions", "--level", "2", "--mode", "minor", "--json"});
  EXPECT_FALSE(found["progressions"].empty());
  for (const Json& row : found["progressions"]) {
    EXPECT_EQ(row["level"], 2);
    EXPECT_EQ(row["mode"], "minor");
  }
}

TEST_F(Commands, HelpSucceedsAndHasExamples) {
  EXPECT_EQ(run_in_process({"--help"}).status, 0);
  for (const Command& command : commands()) {
    const auto outcome = run_in_process({std::string(command.name), "--help"});
    EXPECT_EQ(outcome.status, 0);
    EXPECT_EQ(outcome.err, "");
    EXPECT_NE(outcome.out.find("Examples:"), std::string::npos) << command.name;
    EXPECT_GE(std::count(command.examples.begin(), command.examples.end(), '\n'), 2) << command.name;
  }
}

}  // namespace
}  // namespace romanesca
