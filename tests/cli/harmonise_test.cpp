// The command harmonise, and lead sheets by the command chart.
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "tests/cli/in_process.h"

namespace romanesca {
namespace {

using Json = nlohmann::json;

/// Invented for these tests.
const char* const tune_text =
    "title: Seven Small Boats\nkey: C major\n\n"
    "tune: C2 E2 G2 E2 | F2 A2 G4 | E2 G2 c2 G2 | A2 F2 D4 | E2 C2 E2 G2 | A2 F2 A2 c2 | B2 G2 D2 F2 | C8 |\n";

TEST(Harmonise, JsonHasThreeChoicesThatFillEveryBar) {
  const auto result = test::run_in_process({"harmonise", "-", "--level", "2", "--json"}, tune_text);
  ASSERT_EQ(result.status, 0) << result.err;
  const Json answer = Json::parse(result.out);
  EXPECT_EQ(answer["schema"], 1);
  EXPECT_EQ(answer["key"], "C major");
  ASSERT_EQ(answer["choices"].size(), 3U);
  for (const Json& choice : answer["choices"]) {
    EXPECT_EQ(choice["level"], 2);
    EXPECT_FALSE(choice["text"].get<std::string>().empty());
    double beats = 0;
    for (const Json& chord : choice["chords"]) beats += chord["beats"].get<double>();
    EXPECT_EQ(beats, 32) << choice.dump();
  }
}

TEST(Harmonise, TheSongIsWrittenWithTheChordsAndKeepsItsTune) {
  const auto harmonised = test::run_in_process({"harmonise", "-", "--choice", "B", "--json"}, tune_text);
  ASSERT_EQ(harmonised.status, 0) << harmonised.err;
  const std::string path = testing::TempDir() + "romanesca-harmonised.txt";
  const auto written = test::run_in_process({"harmonise", "-", "--choice", "B", "--out", path}, tune_text);
  ASSERT_EQ(written.status, 0) << written.err;
  const auto read = test::run_in_process({"analyse", path, "--json"});
  ASSERT_EQ(read.status, 0) << read.err;
  const Json wanted = Json::parse(harmonised.out)["choices"][1]["chords"], got = Json::parse(read.out)["chords"];
  ASSERT_EQ(wanted.size(), got.size());
  for (std::size_t i = 0; i < wanted.size(); ++i) EXPECT_EQ(wanted[i]["symbol"], got[i]["symbol"]);
  const auto again = test::run_in_process({"harmonise", path, "--choice", "B", "--json"});
  EXPECT_EQ(Json::parse(again.out)["choices"], Json::parse(harmonised.out)["choices"]);
}

TEST(Harmonise, OwnChordsInTheStudentsOrder) {
  const auto result = test::run_in_process({"harmonise", "-", "--with", "C Am F G", "--json"}, tune_text);
  ASSERT_EQ(result.status, 0) << result.err;
  const Json answer = Json::parse(result.out);
  for (const Json& choice : answer["choices"]) {
    for (const Json& chord : choice["chords"]) {
      const std::string symbol = chord["symbol"];
      EXPECT_TRUE(symbol == "C" || symbol == "Am" || symbol == "F" || symbol == "G") << symbol;
    }
  }
}

TEST(Harmonise, CapitalsMeanTheDegreesOfAMinorKey) {
  const char* const minor = "key: A minor\n\ntune: A2 c2 e2 c2 | d2 f2 a4 | e2 c2 B2 ^G2 | A8 |\n";
  const auto result = test::run_in_process({"harmonise", "-", "--with", "I IV V", "--json"}, minor);
  ASSERT_EQ(result.status, 0) << result.err;
  EXPECT_NE(result.err.find("I and IV are read as i and iv"), std::string::npos) << result.err;
  const Json answer = Json::parse(result.out);
  for (const Json& chord : answer["choices"][0]["chords"]) {
    const std::string symbol = chord["symbol"];
    EXPECT_TRUE(symbol == "Am" || symbol == "Dm" || symbol == "E") << symbol;
  }
  const auto plain = test::run_in_process({"harmonise", "-", "--with", "i IV V", "--json"}, minor);
  EXPECT_EQ(plain.err.find("are read as"), std::string::npos) << plain.err;
}

TEST(Harmonise, RefusesWhatItCannotDo) {
  const auto without = test::run_in_process({"harmonise", "C F G"});
  EXPECT_EQ(without.status, 2);
  EXPECT_NE(without.err.find("there is no tune in that song"), std::string::npos) << without.err;
  const auto choice = test::run_in_process({"harmonise", "-", "--choice", "D"}, tune_text);
  EXPECT_EQ(choice.status, 2);
  EXPECT_NE(choice.err.find("choose A to C"), std::string::npos) << choice.err;
  const auto level = test::run_in_process({"harmonise", "-", "--level", "9"}, tune_text);
  EXPECT_EQ(level.status, 2);
  const auto range = test::run_in_process({"chart", "-", "--range", "C4-D4"}, tune_text);
  EXPECT_EQ(range.status, 2);
  EXPECT_NE(range.err.find("the tune goes from C4 to C5"), std::string::npos) << range.err;
}

TEST(LeadSheetCommand, PutsTheTuneWhereASingerReachesIt) {
  const std::string path = testing::TempDir() + "romanesca-sheet.musicxml";
  const auto low = test::run_in_process({"chart", "-", "--range", "G3-G4", "--out", path}, tune_text);
  ASSERT_EQ(low.status, 0) << low.err;
  const auto read = test::run_in_process({"read", path});
  EXPECT_NE(read.out.find("G major"), std::string::npos) << read.out;
  EXPECT_NE(read.out.find("G,2"), std::string::npos) << read.out;
}

}  // namespace
}  // namespace romanesca
