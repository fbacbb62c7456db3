// Songs that students make, with their earlier versions.
#include "cli/studio/record/merge.h"
#include "cli/studio/record/record_file.h"
#include "tests/cli/studio/record/record_folder.h"

namespace romanesca::test {
namespace {

class SongVersions : public RecordFolder {
 protected:
  void SetUp() override {
    RecordFolder::SetUp();
    done({"add", "Mira"});
  }
  std::string keep(const std::string& text, const std::vector<std::string>& more = {}) const {
    std::vector<std::string> words{"song", "Mira", "-"};
    words.insert(words.end(), more.begin(), more.end());
    const Outcome outcome = student(words, text);
    EXPECT_EQ(outcome.status, 0) << outcome.err;
    return outcome.out;
  }
  [[nodiscard]] std::string error(const std::vector<std::string>& words, const std::string& typed = "") const {
    const Outcome outcome = student(words, typed);
    EXPECT_EQ(outcome.status, 2);
    EXPECT_EQ(outcome.out, "");
    return outcome.err;
  }
};

const char* const kite =
    "title: Paper Kite\ncomposer: Mira\nkey: G major\n\n| G | C |\ntune: | G8 | c8 |\nwords: high up\n";
const char* const changed = "title: Paper Kite\nkey: G major\n\n| G | Am |\n";

TEST_F(SongVersions, EachIsKeptAndComesBack) {
  EXPECT_EQ(keep(kite), "Mira: Paper Kite, version 1, is kept.\n");
  EXPECT_EQ(keep(kite), "Mira: Paper Kite is as it was; nothing new to keep.\n");
  EXPECT_EQ(keep(changed, {"--date", "2026-11-20"}), "Mira: Paper Kite, version 2, is kept.\n");
  EXPECT_EQ(keep(kite, {"--title", "paper-kite"}), "Mira: Paper Kite, version 3, is kept.\n");
  EXPECT_EQ(keep("| C | F |\n", {"--title", "Rain"}), "Mira: Rain, version 1, is kept.\n");
  EXPECT_EQ(done({"song", "Mira", "--title", "kite", "--version", "1"}), kite);
  EXPECT_EQ(done({"song", "Mira", "--title", "PAPER KITE", "--version", "2"}), changed);
  EXPECT_EQ(done({"song", "Mira", "--title", "rain"}), "title: Rain\n\n| C | F |\n");
  const std::string list = done({"song", "Mira"});
  EXPECT_NE(list.find("Paper Kite: 3 versions"), std::string::npos) << list;
  EXPECT_NE(list.find("Rain: one version"), std::string::npos) << list;
  EXPECT_NE(done({"show", "Mira"}).find("Paper Kite: 3 versions"), std::string::npos);
  // What a student made goes with the student.
  done({"remove", "Mira", "--yes"});
  done({"add", "Ole"});
  EXPECT_NE(error({"song", "Ole"}).find("no song of Ole is kept yet"), std::string::npos);
}

TEST_F(SongVersions, GoThroughAnExport) {
  keep(kite);
  keep(changed);
  const std::string json = done({"export"});
  const auto before = value_or_throw(test::opened(data_).records());
  ASSERT_EQ(before[0].songs.size(), 2U);
  std::filesystem::remove_all(data_);
  EXPECT_EQ(student({"import", "-"}, json).out, "Mira: added, 0 new entries, 2 new versions of songs\n");
  EXPECT_EQ(value_or_throw(test::opened(data_).records()), before);
  EXPECT_EQ(student({"import", "-"}, json).out, "Mira: 0 new entries\n");
  EXPECT_EQ(value_or_throw(test::opened(data_).records()), before);
  // A version that another computer has becomes the newest here.
  std::string there = json;
  there.replace(there.find("| G | Am |"), 10, "| G | Em |");
  EXPECT_EQ(student({"import", "-"}, there).out, "Mira: 0 new entries, 1 new version of songs\n");
  EXPECT_EQ(done({"song", "Mira", "--title", "kite"}), "title: Paper Kite\nkey: G major\n\n| G | Em |\n");
}

TEST_F(SongVersions, FaultsSayWhatToDo) {
  EXPECT_NE(error({"song", "Mira"}).find("keep one: romanesca student song Mira song.txt"), std::string::npos);
  EXPECT_NE(error({"song", "Mira", "-"}, "C G").find("the song has no title"), std::string::npos);
  EXPECT_NE(error({"song", "Mira", "-"}, "title: x\n| C | Jq |").find(":2:"), std::string::npos);
  keep(kite);
  keep("| C | F |\n", {"--title", "Paper Boat"});
  EXPECT_NE(error({"song", "Mira", "--title", "paper"}).find("2 songs have \"paper\" in their titles"),
            std::string::npos);
  EXPECT_NE(error({"song", "Mira", "--title", "Papper Kite"}).find("did you mean Paper Kite?"), std::string::npos);
  EXPECT_NE(error({"song", "Mira", "--title", "kite", "--version", "2"}).find("has no version 2"), std::string::npos);
  EXPECT_NE(error({"song", "Mira", "--version", "2"}).find("which song?"), std::string::npos);
  EXPECT_NE(error({"song", "Mira", "-", "--version", "2"}, kite).find("kept or given back"), std::string::npos);
  // In an export that somebody has changed.
  std::string json = done({"export"});
  json.replace(json.find("\"version\": 1"), 12, "\"version\": 0");
  EXPECT_NE(error({"import", "-"}, json).find("student 1, song 1: version is not a whole number"), std::string::npos);
  json.replace(json.find("\"version\": 0"), 12, "\"versoin\": 1");
  EXPECT_NE(error({"import", "-"}, json).find("did you mean \"version\"?"), std::string::npos);
}

}  // namespace
}  // namespace romanesca::test
