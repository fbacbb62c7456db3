// What romanesca settings keeps, and that other commands go by it.
#include <gtest/gtest.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <iterator>
#include <nlohmann/json.hpp>

#include "tests/cli/in_process.h"

namespace romanesca {
namespace {

namespace fs = std::filesystem;
using test::run_in_process;

class Settings : public testing::Test {
 protected:
  void SetUp() override { fs::create_directories(folder_); }
  void TearDown() override { fs::remove_all(folder_); }

  fs::path folder_ = fs::temp_directory_path() / ("romanesca-settings-" + std::to_string(getpid()));
};

TEST_F(Settings, AreKeptAndCountInOtherCommands) {
  const fs::path settings = folder_ / "settings";
  const auto shown = [&] {
    return nlohmann::json::parse(run_in_process({"settings", "--json"}, "", settings).out)["settings"];
  };
  EXPECT_EQ(shown()["names"], "english");
  EXPECT_EQ(shown()["terms"], "british");
  EXPECT_EQ(run_in_process({"settings", "--terms", "american"}, "", settings).status, 0);
  EXPECT_EQ(run_in_process({"settings", "--names", "german"}, "", settings).status, 0);
  EXPECT_EQ(shown()["names"], "german");
  EXPECT_EQ(shown()["terms"], "american") << "the other setting stays";

  const std::vector<std::string> ask{"analyse", "C F G C"};
  const std::string answer = run_in_process(ask, "", settings).out;
  EXPECT_NE(answer.find("authentic cadence"), std::string::npos) << answer;
  EXPECT_EQ(answer.find("perfect cadence"), std::string::npos) << answer;
  EXPECT_NE(run_in_process(ask).out.find("perfect cadence"), std::string::npos);
  std::vector<std::string> british = ask;
  british.insert(british.end(), {"--terms", "british"});
  EXPECT_NE(run_in_process(british, "", settings).out.find("perfect cadence"), std::string::npos);
}

TEST_F(Settings, WrongOnesSayTheirPlace) {
  const std::pair<std::string, std::string> wrong[] = {
      {"names = \"dutch\"\n", "choose \"english\", \"german\" or \"solfege\""},
      {"names = \"german\"\nterms = 3\n", "choose \"british\" or \"american\""},
      {"colour = \"red\"\n", "the settings are: names, terms"}};
  for (const auto& [text, hint] : wrong) {
    std::ofstream(folder_ / "settings.toml") << text;
    const auto outcome = run_in_process({"analyse", "C F G C"}, "", folder_);
    EXPECT_EQ(outcome.status, 2) << text;
    EXPECT_NE(outcome.err.find("settings.toml"), std::string::npos) << outcome.err;
    EXPECT_NE(outcome.err.find(hint), std::string::npos) << outcome.err;
  }
  EXPECT_EQ(run_in_process({"settings", "--terms", "german"}, "", folder_).status, 2);
  std::ifstream in(folder_ / "settings.toml");
  const std::string kept{std::istreambuf_iterator<char>(in), {}};
  EXPECT_EQ(kept, wrong[2].first) << "nothing is written for a wrong word";
  EXPECT_EQ(run_in_process({"settings", "--terms", "british"}, "", folder_).status, 0)
      << "a wrong file is written anew";
  EXPECT_EQ(run_in_process({"analyse", "C F G C"}, "", folder_).status, 0);
}

}  // namespace
}  // namespace romanesca
