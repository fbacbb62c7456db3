// Export and import: round trip, merging, errors, and CSV for a spreadsheet.
#include "cli/formats/record_export.h"
#include "cli/studio/record/merge.h"
#include "cli/studio/record/record_file.h"
#include "tests/cli/studio/record/record_folder.h"

namespace romanesca::test {
namespace {

class Exchange : public RecordFolder {
 protected:
  void fill() const {
    done({"add", "Mira", "--level", "3", "--span", "8", "--keys", "C, G, F#, Bb minor", "--likes", "pop, slow waltz"});
    done({"add", "J. K.", "--date", "2026-09-01"});
    done({"add", "Zoë \"Zo\" 🎹"});
    done({"remove", "2", "--yes"});
    done({"note", "Mira", "left hand, \"alone\", was good", "--date", "2026-11-13"});
    done({"note", "Mira", "--set", "few-notes", "--key", "D dorian", "--seed", "9007199254740991"});
    done({"note", "Mira", "--done", "2", "=SUM(A1)"});
    done({"note", "Mira", "--chosen", "rhythm"});
    done({"note", "Mira", "--missed", "4"});
  }
  [[nodiscard]] Outcome import(const std::string& json) const { return student({"import", "-"}, json); }
};

TEST_F(Exchange, RoundTrip) {
  fill();
  const std::string json = done({"export"});
  const auto before = value_or_throw(test::opened(data_).records());
  std::filesystem::remove_all(data_);
  EXPECT_EQ(import(json).status, 0);
  EXPECT_EQ(value_or_throw(test::opened(data_).records()), before);
  EXPECT_EQ(done({"export"}), json);
  // A second import adds nothing.
  EXPECT_EQ(import(json).out, "Mira: 0 new entries\nZoë \"Zo\" 🎹: 0 new entries\n");
  EXPECT_EQ(value_or_throw(test::opened(data_).records()), before);
}

TEST_F(Exchange, MergesWhatTwoComputersWrote) {
  fill();
  const std::string shared = done({"export"});
  const std::filesystem::path here = data_;
  done({"note", "Mira", "here", "--date", "2026-11-21"});
  data_ = base_ / "there";
  ASSERT_EQ(import(shared).status, 0);
  done({"note", "Mira", "--set", "echo"});
  done({"note", "Mira", "--done", "6", "--date", "2026-11-22"});
  done({"set", "Mira", "--name", "Mira L.", "--level", "4", "--date", "2026-11-22"});
  const std::string there = done({"export"});
  data_ = here;
  EXPECT_EQ(import(there).out,
            "Mira L.: 2 new entries; level, keys and so on as in the file, where they are newer\n"
            "Zoë \"Zo\" 🎹: 0 new entries\n");
  const auto records = value_or_throw(test::opened(data_).records());
  EXPECT_EQ(records[0].student.profile.name, "Mira L.");
  EXPECT_EQ(records[0].student.profile.level, 4);
  ASSERT_EQ(records[0].entries.size(), 8U);
  EXPECT_EQ(records[0].entries[5].text, "here");
  EXPECT_EQ(records[0].entries[6].exercise, "echo");
  EXPECT_EQ(records[0].entries[7].about, 7);  // number 6 there, 7 here
  // In the other direction the newer profile wins too.
  EXPECT_NE(import(shared).out.find("Mira: 0 new entries; level, keys and so on stay as they are here"),
            std::string::npos);
}

TEST_F(Exchange, ANamesakeIsAnotherStudent) {
  done({"add", "Mira", "--date", "2026-01-01"});
  EXPECT_EQ(import(R"({"schema":1,"students":[{"id":1,"name":"Mira","level":2,"since":"2026-05-05"}]})").out,
            "Mira: added, 0 new entries; there is another student of this name\n");
  const auto students = value_or_throw(test::opened(data_).students());
  ASSERT_EQ(students.size(), 2U);
  EXPECT_EQ(students[1].id, 2);  // 1 was taken
  const Outcome which = student({"show", "Mira"});
  EXPECT_EQ(which.status, 2);
  EXPECT_EQ(which.err,
            "romanesca: 2 students are called Mira\n    give the id of the one that you mean: 1 (level 1, since "
            "2026-01-01), 2 (level 2, since 2026-05-05)\n");
  EXPECT_EQ(student({"show", "2"}).status, 0);
}

// All or nothing: with one wrong value nothing of the file is imported.
TEST_F(Exchange, ErrorsHaveAPlace) {
  fill();
  const std::string before = done({"export"});
  const std::string good = R"({"name":"Ole","level":2,"entries":[{"date":"2026-11-20","kind":"note","text":"x"}]})";
  const auto with = [&](const std::string& student) {
    return R"({"schema":1,"students":[)" + good + "," + student + "]}";
  };
  const std::vector<std::pair<std::string, std::string>> cases{
      {"", "line 1 is not as student export writes it"},
      {"{\n\"schema\":1,\n", "line 3 is not as student export writes it"},
      {"[]", "is not an object"},
      {"{}", "schema is missing: this is not an export of students"},
      {R"({"schema":2,"students":[]})", "its schema is 2; only 1 can be read"},
      {R"({"schema":1})", "students is missing"},
      {R"({"schema":1,"students":{}})", "students is not a list"},
      {R"({"schema":1,"pupils":[],"students":[]})", "there is no member \"pupils\" here"},
      {with("7"), "student 2 is not an object"},
      {with(R"({"level":1})"), "student 2: name is empty"},
      {with(R"({"name":"A","levle":1})"), "did you mean \"level\"?"},
      {with(R"({"name":"A","level":9})"), "student 2: level is not a whole number from 1 to 8"},
      {with(R"({"name":"A","level":1.5})"), "student 2: level is not a whole number"},
      {with(R"({"name":"A","level":18446744073709551615})"), "student 2: level is not a whole number"},
      {with(R"({"name":"A","span":99})"), "student 2: span is not a whole number from 5 to 16"},
      {with(R"({"name":"A\u0007"})"), "student 2: name holds a character that cannot be read"},
      {with(R"({"name":"A\u202Eb"})"), "student 2: name holds a character that cannot be read"},
      {with(R"({"name":"12"})"), "student 2: name is a number"},
      {with(R"({"name":["A"]})"), "student 2: name is not a text"},
      {with(R"({"name":"A","keys":["H"]})"), "student 2: keys holds \"H\", which is not a key"},
      {with(R"({"name":"A","likes":["a,b"]})"), "student 2: likes holds an empty word or a comma"},
      {with(R"({"name":"A","since":"2026-02-30"})"), "student 2: since is not a date like 2026-11-20"},
      {with(R"({"name":"A","mark":"Z"})"), "student 2: mark is not 16 hexadecimal digits"},
      {with(R"({"name":"A","entries":[{}]})"), "student 2, entry 1: date is missing"},
      {with(R"({"name":"A","entries":[{"date":"2026-11-20","kind":"lost"}]})"), "student 2, entry 1: kind is \"lost\""},
      {with(R"({"name":"A","entries":[{"date":"2026-11-20","kind":"set","seed":-1}]})"),
       "entry 1: seed is not a whole"},
      {with(R"({"name":"A","entries":[{"date":"2026-11-20","kind":"set","seed":9007199254740992}]})"),
       "entry 1: seed is not a whole number from 0 to 9007199254740991"},
      {with(R"({"name":"A","entries":[{"date":"2026-11-20","kind":"set","choice":"D"}]})"), "choice is not A, B or C"},
      {with(R"({"name":"A","entries":[{"number":2,"date":"2026-11-20","kind":"set"},)"
            R"({"number":2,"date":"2026-11-20","kind":"set"}]})"),
       "not in the order of their numbers"},
      {with(R"({"name":"A","mark":"0000000000000001"},{"name":"B","mark":"0000000000000001"})"),
       "student 3 is there twice"},
      {with("{\"name\":\"\xff\"}"), "is not as student export writes it"},
  };
  for (const auto& [json, words] : cases) {
    const Outcome outcome = import(json);
    EXPECT_EQ(outcome.status, 2) << json;
    EXPECT_NE(outcome.err.find("romanesca: standard input: "), std::string::npos) << outcome.err;
    EXPECT_NE(outcome.err.find(words), std::string::npos) << json << "\n" << outcome.err;
    EXPECT_NE(outcome.err.find("nothing was imported"), std::string::npos) << outcome.err;
  }
  EXPECT_EQ(done({"export"}), before);
  EXPECT_EQ(import(with(R"({"name":"A"})")).status, 0);  // the correct part alone is accepted
  EXPECT_EQ(student({"import", (base_ / "none.json").string()}).status, 3);
}

// A disk error in the middle of an import leaves the record unchanged.
TEST_F(Exchange, AnImportIsAtomic) {
  fill();
  const auto before = value_or_throw(test::opened(data_).records());
  {
    Database spoiler(file(), std::chrono::seconds(1));
    spoiler.run(
        "CREATE TRIGGER full BEFORE INSERT ON entries WHEN new.text = 'last' "
        "BEGIN SELECT raise(ABORT, 'refused'); END");
  }
  std::vector<StudentRecord> incoming{{{7, "00000000000000aa", named("Ole"), day(1, 1), day(1, 1)}, {}}};
  for (const char* text : {"first", "last"}) incoming[0].entries.push_back(noted(text));
  incoming[0].entries[0].number = 1;
  incoming[0].entries[1].number = 2;
  EXPECT_FALSE(test::opened(data_).put(incoming));
  EXPECT_EQ(value_or_throw(test::opened(data_).records()), before);
  Database(file(), std::chrono::seconds(1)).run("DROP TRIGGER full");
  or_throw(test::opened(data_).put(incoming));
  EXPECT_EQ(value_or_throw(test::opened(data_).records()).size(), before.size() + 1);
}

TEST_F(Exchange, CsvIsRfc4180) {
  fill();
  done({"export", "--out", (base_ / "all.csv").string()});
  const std::string csv = bytes_of(base_ / "all.csv");
  const std::string mira = "1,Mira,3,8,\"C major, G major, F# major, Bb minor\",\"pop, slow waltz\",2026-11-20,";
  EXPECT_EQ(
      csv,
      "id,name,student level,span,keys,likes,since,number,date,kind,exercise,key,level,seed,choice,about,text\r\n" +
          mira + "1,2026-11-13,note,,,,,,,\"left hand, \"\"alone\"\", was good\"\r\n" + mira +
          "2,2026-11-20,set,few-notes,D dorian,3,9007199254740991,,,\r\n" + mira +
          "3,2026-11-20,done,few-notes,D dorian,3,9007199254740991,,2,'=SUM(A1)\r\n" + mira +
          "4,2026-11-20,chosen,rhythm,,3,,,,\r\n" + mira + "5,2026-11-20,missed,rhythm,,3,,,4,\r\n" +
          "3,\"Zoë \"\"Zo\"\" 🎹\",1,,,,2026-11-20,,,,,,,,,,\r\n");
}

TEST_F(Exchange, CellsThatWouldBeFormulas) {
  for (const char* text : {"=1+1", "+1", "-1", "@SUM(A1)", "＝1", "  =1", "\t=1"}) {
    EXPECT_EQ(csv_cell(text)[0], '\'') << text;
  }
  EXPECT_EQ(csv_cell("=HYPERLINK(\"x\",1)"), "\"'=HYPERLINK(\"\"x\"\",1)\"");
  for (const char* text : {"", "a=b", "C - G", "3"}) EXPECT_EQ(csv_cell(text), text);
}

}  // namespace
}  // namespace romanesca::test
