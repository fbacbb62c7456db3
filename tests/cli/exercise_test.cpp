// The command exercise: output, files and errors. Its texts are in tests/golden.
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "cli/formats/exercise_text.h"
#include "cli/formats/keyboard_text.h"
#include "progressions/exercises/material.h"
#include "synth/arranging/style.h"
#include "tests/cli/in_process.h"

namespace romanesca {
namespace {

namespace fs = std::filesystem;
using test::run_in_process;

/// A folder for the files of a test.
class ExerciseFiles : public testing::Test {
 protected:
  fs::path folder_ = fs::path(testing::TempDir()) /
                     ("exercise_" + std::string(testing::UnitTest::GetInstance()->current_test_info()->name()));
  void SetUp() override { fs::create_directories(folder_); }
  void TearDown() override { fs::remove_all(folder_); }
  [[nodiscard]] std::string path(const std::string& name) const { return (folder_ / name).string(); }
  [[nodiscard]] std::string bytes(const std::string& name) const {
    std::ifstream file(folder_ / name, std::ios::binary);
    std::stringstream all;
    all << file.rdbuf();
    return all.str();
  }
};

// The exercises' data, in another library, name styles; this library knows both.
TEST(ExerciseBackings, AreStylesOfTheBand) {
  for (const ExerciseBacking& backing : exercise_backings()) {
    const Style* style = style_named(backing.style);
    ASSERT_NE(style, nullptr) << backing.style;
    EXPECT_EQ(style->meter, backing.meter) << backing.style;
    EXPECT_GE(backing.slowest_bpm, style->slowest_bpm) << backing.style;
    EXPECT_LE(backing.fastest_bpm, style->fastest_bpm) << backing.style;
  }
}

TEST(ExerciseCommand, JsonHasTheDocumentedFields) {
  const auto outcome = run_in_process({"exercise", "--key", "E flat major", "--level", "3", "--json"});
  ASSERT_EQ(outcome.status, 0) << outcome.err;
  const auto json = nlohmann::json::parse(outcome.out);
  EXPECT_EQ(json["schema"], 1);
  ASSERT_EQ(json["exercises"].size(), 3U);
  const char* names[] = {"A", "B", "C"};
  for (std::size_t i = 0; i < 3; ++i) {
    const auto& exercise = json["exercises"][i];
    EXPECT_EQ(exercise["choice"], names[i]);
    EXPECT_EQ(exercise["level"], 3);
    EXPECT_TRUE(exercise["key"].get<std::string>().starts_with("Eb "));
    for (const char* text : {"id", "kind", "title", "goal", "progression", "style"}) {
      EXPECT_FALSE(exercise[text].get<std::string>().empty()) << text;
    }
    EXPECT_TRUE(exercise["steps"].is_array());
    EXPECT_TRUE(exercise["chords"].is_array());
    EXPECT_TRUE(exercise["notes"].is_array());
    EXPECT_GE(exercise["tempo"].get<double>(), 40);
    EXPECT_GE(exercise["minutes"].get<int>(), 2);
  }
}

TEST(ExerciseCommand, JsonHasTheAnswerOnlyOnRequest) {
  const std::vector<std::string> ear{"exercise", "--id", "major-or-minor", "--level", "2", "--json"};
  const auto hidden = nlohmann::json::parse(run_in_process(ear).out)["exercises"][0];
  EXPECT_FALSE(hidden.contains("answer"));
  for (const auto& chord : hidden["chords"]) EXPECT_EQ(chord, "?");
  EXPECT_FALSE(hidden["heard"].empty());
  auto with_answers = ear;
  with_answers.emplace_back("--answers");
  const auto open = nlohmann::json::parse(run_in_process(with_answers).out)["exercises"][0];
  EXPECT_EQ(open["answer"].size(), 6U);
  EXPECT_NE(open["chords"][0], "?");
}

TEST(ExerciseCommand, SameSeedSameBytes) {
  const std::vector<std::string> call{"exercise", "--key", "F#", "--level", "6", "--seed", "12345678901234567890"};
  const auto first = run_in_process(call);
  EXPECT_EQ(first.status, 0);
  EXPECT_EQ(first.out, run_in_process(call).out);
  auto other = call;
  other.back() = "2";
  EXPECT_NE(first.out, run_in_process(other).out);
}

// A choice of a set is the same exercise as the one selected by its id.
TEST(ExerciseCommand, AChoiceCanBeSelectedById) {
  const std::vector<std::string> set{"exercise", "--key", "A minor", "--level", "4", "--seed", "9", "--json"};
  const auto exercises = nlohmann::json::parse(run_in_process(set).out)["exercises"];
  for (const auto& each : exercises) {
    auto alone = set;
    alone.insert(alone.end(), {"--id", each["id"].get<std::string>()});
    auto again = nlohmann::json::parse(run_in_process(alone).out)["exercises"][0];
    again["choice"] = each["choice"];
    EXPECT_EQ(again, each);
  }
}

TEST(ExerciseCommand, NoLineIsWiderThanTheTerminal) {
  for (const char* family : {"improvise", "compose", "technique", "ear", "song"}) {
    for (int level = 1; level <= 8; ++level) {
      for (const char* key : {"C", "Db", "G# minor", "Bb mixolydian"}) {
        const auto outcome = run_in_process({"exercise", "--kind", family, "--key", key, "--level",
                                             std::to_string(level), "--choices", "8", "--answers"});
        ASSERT_EQ(outcome.status, 0) << outcome.err;
        std::istringstream lines(outcome.out);
        for (std::string line; std::getline(lines, line);)
          EXPECT_LE(line.size(), 80U) << family << level << key << line;
      }
    }
  }
}

TEST(ExerciseCommand, TakesAStudentsSong) {
  const std::string song =
      "title: Paper Boats\nmeter: 3/4\n\n[Verse]\n| N.C. | G | % | Em7 / C |\n| D | D/F# | G | G |\n"
      "[Chorus]\n| C |\n";
  for (const char* family : {"improvise", "compose", "technique", "song"}) {
    const auto outcome = run_in_process({"exercise", "-", "--kind", family, "--level", "2", "--choices", "8"}, song);
    EXPECT_EQ(outcome.status, 0) << outcome.err;
    EXPECT_EQ(outcome.out.find("{"), std::string::npos);
  }
  const auto layers = run_in_process({"exercise", "-", "--id", "layer-by-layer", "--level", "2"}, song);
  EXPECT_NE(layers.out.find("\"Paper Boats\", layer by layer"), std::string::npos) << layers.out;
  EXPECT_NE(layers.out.find("3/4"), std::string::npos);
  for (const char* odd :
       {"C", "C7", "I", "key: D\nmeter: 5/4\n| D | A |", "key: D\nmeter: 6/8\nstyle: pop\n| Dm7 G9 |"}) {
    for (const ExerciseKind& kind : exercise_kinds()) {
      const auto outcome =
          run_in_process({"exercise", "-", "--id", kind.id, "--level", std::to_string(kind.highest)}, odd);
      EXPECT_EQ(outcome.status, 0) << kind.id << outcome.err;
    }
  }
  EXPECT_EQ(run_in_process({"exercise", "-", "--kind", "song"}, "| N.C. |").status, 2);
}

TEST(ExerciseCommand, ErrorsHaveAHint) {
  const auto error = [](std::vector<std::string> arguments) {
    arguments.insert(arguments.begin(), "exercise");
    const auto outcome = run_in_process(arguments);
    EXPECT_EQ(outcome.status, 2);
    return outcome.err;
  };
  EXPECT_NE(error({"--id", "few-note"}).find("did you mean few-notes?"), std::string::npos);
  EXPECT_NE(error({"--id", "guide-tone-line", "--level", "1"}).find("is for levels 4 to 8, not 1"), std::string::npos);
  EXPECT_NE(error({"--kind", "dance"}).find("choose improvise, compose, technique, ear or song"), std::string::npos);
  EXPECT_NE(error({"--key", "B locrian"}).find("phrygian"), std::string::npos);
  EXPECT_NE(error({"--level", "9"}).find("levels are 1 to 8"), std::string::npos);
  EXPECT_NE(error({"--choice", "D"}).find("it is A to C"), std::string::npos);
  EXPECT_NE(error({"--choices", "9"}).find("1 to 8"), std::string::npos);
  EXPECT_NE(error({"--check", "C"}).find("choose one with --choice A"), std::string::npos);
  EXPECT_NE(error({"--id", "few-notes", "--check", "C"}).find("nothing in it is scored"), std::string::npos);
  EXPECT_NE(error({"--id", "few-notes", "--kind", "ear"}).find("belongs to improvise"), std::string::npos);
  EXPECT_NE(error({"--out", "x.wav"}).find("choose one with --choice A"), std::string::npos);
}

// A teacher's own levels that allow almost nothing.
TEST_F(ExerciseFiles, TeachersOwnLevels) {
  std::string text;
  for (int number = 1; number <= 8; ++number) {
    text += "[" + std::to_string(number) +
            "]\nname = \"x\"\naccidentals = 0\nchords = [\"5\"]\ninversions = 0\nforeign = \"none\"\nchords_per_bar = "
            "1\nleft = \"root\"\nspan = 7\nrhythm = \"held\"\n";
  }
  std::ofstream(path("levels.toml")) << text;
  for (const ExerciseKind& kind : exercise_kinds()) {
    const auto outcome =
        run_in_process({"exercise", "--id", kind.id, "--level", std::to_string(kind.lowest)}, "", folder_);
    EXPECT_EQ(outcome.status, 0) << kind.id << outcome.err;
  }
}

TEST_F(ExerciseFiles, AnAnswerMayBeAFile) {
  const std::vector<std::string> call{"exercise", "--id", "into-another-key", "--level", "2", "--json"};
  auto open = call;
  open.emplace_back("--answers");
  const auto exercise = nlohmann::json::parse(run_in_process(open).out)["exercises"][0];
  std::ofstream file(path("answer.txt"));
  for (const auto& place : exercise["answer"]) file << place[0].get<std::string>() << " ";
  file.close();
  auto check = call;
  check.insert(check.end(), {"--check", path("answer.txt")});
  const auto outcome = run_in_process(check);
  EXPECT_EQ(outcome.status, 0) << outcome.err;
  EXPECT_EQ(nlohmann::json::parse(outcome.out)["right"], true);
}

TEST_F(ExerciseFiles, WritesSound) {
  const auto ear = run_in_process({"exercise", "--id", "which-chord", "--level", "3", "--out", path("ear.wav")});
  EXPECT_EQ(ear.status, 0) << ear.err;
  EXPECT_NE(ear.out.find("once through"), std::string::npos);
  // Four chords of two beats and a rest of four at about 61 beats per minute, and the decay of the last chord.
  EXPECT_GT(fs::file_size(path("ear.wav")), 48000U * 6 * 10);
  EXPECT_TRUE(bytes("ear.wav").starts_with("RIFF"));
  const auto loop = run_in_process({"exercise", "--id", "few-notes", "--level", "3", "--out", path("loop.mid")});
  EXPECT_EQ(loop.status, 0) << loop.err;
  EXPECT_TRUE(bytes("loop.mid").starts_with("MThd"));
}

// The backing must not play the chord that the student has to find.
TEST_F(ExerciseFiles, TheBackingHidesTheMissingChord) {
  const std::vector<std::string> call{"exercise", "--id", "missing-chord", "--level", "4", "--seed", "2"};
  auto midi = call;
  midi.insert(midi.end(), {"--out", path("gap.mid")});
  EXPECT_EQ(run_in_process(midi).status, 0);
  EXPECT_NE(bytes("gap.mid").find("N.C."), std::string::npos);
}

TEST_F(ExerciseFiles, WritesPaper) {
  for (const char* name : {"set.pdf", "set.png", "set.svg", "set.txt", "set.json"}) {
    const std::vector<std::string> call{"exercise", "--level", "3", "--answers", "--out", path(name)};
    EXPECT_EQ(run_in_process(call).status, 0);
    const std::string first = bytes(name);
    EXPECT_GT(first.size(), 1000U) << name;
    EXPECT_EQ(run_in_process(call).status, 0);
    EXPECT_EQ(bytes(name), first) << name;
  }
  EXPECT_TRUE(bytes("set.pdf").starts_with("%PDF"));
  EXPECT_NE(bytes("set.svg").find("Answers"), std::string::npos);
}

TEST(KeyboardText, NamesNotesOnTheirKeys) {
  const Voicing notes{*parse_pitch("Eb4"), *parse_pitch("F4"), *parse_pitch("Cb5")};
  EXPECT_EQ(keyboard_text(notes, 1),
            " +----+----+----+----+----+----+----+\n"
            " |   ###  ###   |   ###  ###  ###   |\n"
            " |   ###  Eb    |   ###  ###  ###   |\n"
            " |   ###  ###   |   ###  ###  ###   |\n"
            " |    |    |    |    |    |    |    |\n"
            " |    |    |    | F  |    |    | Cb |\n"
            " +----+----+----+----+----+----+----+\n");
  EXPECT_EQ(keyboard_text({}, 1), "");
}

TEST(RhythmText, CountsInEighthsAndSixteenths) {
  const std::vector<RhythmNote> swing{{Beats(0), Beats(3, 2)}, {Beats(3, 2), Beats(1, 2)}, {Beats(3), Beats(1)}};
  EXPECT_EQ(rhythm_text(swing, {4, 4}, 0),
            "count  1  &  2  &  3  &  4  &\n"
            "play   x  -  -  x  .  .  x  -\n");
  const std::vector<RhythmNote> quick{{Beats(0), Beats(1, 4)}, {Beats(3, 4), Beats(1, 4)}};
  EXPECT_EQ(rhythm_text(quick, {2, 4}, 0),
            "count  1  e  &  a  2  e  &  a\n"
            "play   x  .  .  x  .  .  .  .\n");
  const std::vector<RhythmNote> rocking{{Beats(0), Beats(1)}, {Beats(1), Beats(1, 2)}};
  EXPECT_EQ(rhythm_text(rocking, {6, 8}, 0),
            "count  1  2  3  4  5  6\n"
            "play   x  -  x  .  .  .\n");
}

}  // namespace
}  // namespace romanesca
