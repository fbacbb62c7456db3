// A record file that is damaged, of another program or too new is reported with its path and a hint, and not changed.
#include <algorithm>
#include <cstring>

#include "cli/studio/record/record_file.h"
#include "tests/cli/studio/record/record_folder.h"

namespace romanesca::test {
namespace {

class Damage : public RecordFolder {
 protected:
  void SetUp() override {
    RecordFolder::SetUp();
    done({"add", "Mira"});
    Store store = test::opened(data_);
    auto records = value_or_throw(store.records());
    for (int i = 1; i <= 400; ++i) {
      records[0].entries.push_back(noted("note " + std::to_string(i)));
      records[0].entries.back().number = i;
    }
    or_throw(store.put(records));
  }

  void read_intact_file() {
    intact_ = bytes_of(file());
    ASSERT_GT(intact_.size(), 30000U);
  }

  /// Every action reports the file and does not change it.
  void expect_refused(const std::string& bytes, const std::string& words) const {
    put_bytes(file(), bytes);
    put_bytes(base_ / "backup.json", R"({"schema":1,"students":[{"name":"Ole"}]})");
    for (const std::vector<std::string>& action : {std::vector<std::string>{"list"},
                                                   {"add", "Ole"},
                                                   {"note", "Mira", "x"},
                                                   {"show", "Mira"},
                                                   {"remove", "Mira", "--yes"},
                                                   {"import", (base_ / "backup.json").string()},
                                                   {"export"}}) {
      const Outcome outcome = student(action);
      EXPECT_EQ(outcome.status, 3) << action.front();
      EXPECT_EQ(outcome.out, "") << action.front();
      EXPECT_NE(outcome.err.find(file().string()), std::string::npos) << outcome.err;
      EXPECT_NE(outcome.err.find(words), std::string::npos) << outcome.err;
      EXPECT_NE(outcome.err.find("left as it is"), std::string::npos) << outcome.err;
      ASSERT_TRUE(bytes_of(file()) == bytes) << action.front() << " changed the file";
    }
  }

  std::string intact_;
};

TEST_F(Damage, CutShort) {
  read_intact_file();
  for (const std::size_t length : {std::size_t{0}, std::size_t{1}, std::size_t{15}, std::size_t{100}, std::size_t{4096},
                                   intact_.size() / 2, intact_.size() - 4096, intact_.size() - 1}) {
    SCOPED_TRACE(length);
    expect_refused(intact_.substr(0, length), "is damaged");
  }
}

TEST_F(Damage, OverwrittenInside) {
  read_intact_file();
  for (const std::size_t place : {std::size_t{16}, std::size_t{100}, std::size_t{4096}, intact_.size() - 8192}) {
    SCOPED_TRACE(place);
    std::string bytes = intact_;
    std::uint32_t noise = 1;
    for (std::size_t i = place; i < std::min(place + 2000, bytes.size()); ++i) {
      noise = noise * 1664525U + 1013904223U;  // Numerical Recipes' generator (from memory)
      bytes[i] = static_cast<char>(noise >> 24U);
    }
    expect_refused(bytes, "is damaged");
  }
}

TEST_F(Damage, NoDatabase) {
  expect_refused("{\"this\":\"is JSON\"}\n", "is damaged");
  expect_refused(std::string(70000, '\xFF'), "is damaged");
}

TEST_F(Damage, AnImpossibleValue) {
  Database(file(), std::chrono::seconds(1)).run("UPDATE students SET keys = 'H flat', mark = 'x'");
  const std::string bytes = bytes_of(file());
  const Outcome outcome = student({"list"});
  EXPECT_EQ(outcome.status, 3);
  EXPECT_NE(outcome.err.find("student 1 has no readable key"), std::string::npos) << outcome.err;
  EXPECT_TRUE(bytes_of(file()) == bytes);
}

TEST_F(Damage, ANewerSchema) {
  Database(file(), std::chrono::seconds(1)).run("PRAGMA user_version = 99");
  expect_refused(bytes_of(file()), "was written by a newer romanesca (schema 99; this one reads up to 3)");
}

TEST_F(Damage, AnotherProgramsFile) {
  Database(file(), std::chrono::seconds(1)).run("PRAGMA application_id = 7");
  expect_refused(bytes_of(file()), "belongs to another program");
}

TEST_F(Damage, ALogWithoutItsFile) {
  put_bytes(file().string() + "-wal", "the newest entries");
  std::filesystem::remove(file());
  const Outcome outcome = student({"list"});
  EXPECT_EQ(outcome.status, 3);
  EXPECT_NE(outcome.err.find("record.db-wal is there without"), std::string::npos) << outcome.err;
  EXPECT_EQ(bytes_of(file().string() + "-wal"), "the newest entries");
  EXPECT_FALSE(std::filesystem::exists(file()));
}

}  // namespace
}  // namespace romanesca::test
