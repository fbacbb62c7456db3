#include "cli/studio/record/record_file.h"
#include "tests/cli/studio/record/record_folder.h"

namespace romanesca::test {
namespace {

class Schema : public RecordFolder {
 protected:
  void put_version_1() const {
    std::filesystem::create_directories(data_);
    put_bytes(file(), "");
    Database(file(), std::chrono::seconds(1)).run(bytes_of(SOURCE_ROOT "/tests/cli/studio/record/version-1.sql"));
  }
};

TEST_F(Schema, Version1IsMigrated) {
  put_version_1();
  const auto records = value_or_throw(test::opened(data_).records());
  ASSERT_EQ(records.size(), 2U);
  const Student& mira = records[0].student;
  EXPECT_EQ(mira.profile.name, "Mira");
  EXPECT_EQ(mira.profile.level, 3);
  EXPECT_EQ(mira.profile.span, 8);
  EXPECT_EQ(to_string(mira.profile.keys), "C major, G major");
  EXPECT_EQ(mira.profile.likes, (std::vector<std::string>{"pop", "waltz"}));
  EXPECT_EQ(to_string(mira.changed), "2026-09-01");
  EXPECT_EQ(mira.uid, uid_of("Mira", day(9, 1), 1));
  ASSERT_EQ(records[0].entries.size(), 2U);
  EXPECT_EQ(records[0].entries[1].number, 2);
  EXPECT_EQ(records[0].entries[1].kind, EntryKind::done);
  EXPECT_EQ(records[0].entries[1].seed, 7);
  EXPECT_EQ(records[1].student.id, 4);
  EXPECT_EQ(records[1].student.profile.name, "Zoë K.");
  EXPECT_EQ(records[1].entries[0].number, 1);
  EXPECT_EQ(records[1].entries[0].text, "sings the bass line");
  Database database(file(), std::chrono::seconds(1));
  EXPECT_EQ(schema_version(database), newest_schema);
  // An id that was used before the migration is not used again.
  EXPECT_EQ(value_or_throw(test::opened(data_).add(named("Ole"), day(11, 20))).id, 6);
}

// A migrated record and a new one have the same tables.
TEST_F(Schema, MigratedAndNewTablesAreTheSame) {
  const auto columns = [&] {
    Database database(file(), std::chrono::seconds(1));
    return database.text(
        "SELECT group_concat(line, ';') FROM (SELECT m.name || ' ' || t.name || ' ' || t.type || t.\"notnull\" AS line "
        "FROM sqlite_schema AS m, pragma_table_info(m.name) AS t ORDER BY m.name, t.cid)");
  };
  done({"list"});
  const std::string fresh = columns();
  std::filesystem::remove(file());
  put_version_1();
  EXPECT_NE(columns(), fresh);
  done({"list"});
  EXPECT_EQ(columns(), fresh);
}

TEST_F(Schema, AFailedMigrationChangesNothing) {
  put_version_1();
  Database(file(), std::chrono::seconds(1)).run("UPDATE students SET since = 'long ago' WHERE id = 4");
  const std::string before = bytes_of(file());
  const Outcome outcome = student({"list"});
  EXPECT_EQ(outcome.status, 3);
  EXPECT_NE(outcome.err.find("student 4 has no date"), std::string::npos) << outcome.err;
  EXPECT_TRUE(bytes_of(file()) == before);
}

}  // namespace
}  // namespace romanesca::test
