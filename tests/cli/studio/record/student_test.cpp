// The actions of the command student: messages and data, names and dates, and that a removal erases everything.
#include "cli/studio/record/student.h"

#include "cli/studio/record/plain_text.h"
#include "tests/cli/studio/record/record_folder.h"

namespace romanesca::test {
namespace {

using StudentCommand = RecordFolder;

// The published test vectors of FNV-1a, 64 bits (draft-eastlake-fnv, from memory).
TEST(TextHash, IsFnv1a) {
  EXPECT_EQ(text_hash(""), 0xCBF29CE484222325U);
  EXPECT_EQ(text_hash("a"), 0xAF63DC4C8601EC8CU);
  EXPECT_EQ(text_hash("foobar"), 0x85944171F73967E8U);
}

TEST(StudentUid, DiffersBetweenStudents) {
  EXPECT_EQ(uid_of("Mira", day(11, 20), 1), uid_of("Mira", day(11, 20), 1));
  EXPECT_NE(uid_of("Mira", day(11, 20), 1), uid_of("Mira", day(11, 20), 2));
  EXPECT_NE(uid_of("Mira", day(11, 20), 1), uid_of("Mira", day(11, 21), 1));
  EXPECT_EQ(uid_of("Mira", day(11, 20), 1).size(), 16U);
}

// ISO 8601-1:2019, calendar date, extended form; leap years after the Gregorian rule.
TEST(StudentDate, IsAnIsoDate) {
  for (const char* text : {"2026-11-20", "2024-02-29", "2000-02-29", "1900-01-01", "2999-12-31"}) {
    ASSERT_TRUE(parse_date(text)) << text;
    EXPECT_EQ(to_string(*parse_date(text)), text);
  }
  for (const char* text : {"", "2026-11-2", "20261120", "2026-13-01", "2026-00-10", "2026-02-29", "1900-02-29",
                           "2026-11-31", "20.11.2026", "2026-11-20 ", "2026-1a-20", "-026-11-20", "1899-12-31"}) {
    EXPECT_FALSE(parse_date(text)) << text;
  }
}

TEST(StudentName, IsCleanText) {
  for (const char* name : {"Mira", "J. K.", "Zoë", "美羅", "O'Neill-Ö", "M1", "🎹"})
    EXPECT_FALSE(name_fault(name)) << name;
  for (const char* name : {"", " ", "12", "-x", " Mira", "a\tb", "a\nb", "a\x7f", "\xC2\x85", "a\u202Eb", "a\u2066b",
                           "\xff", "\xC3", "a\u2028"}) {
    EXPECT_TRUE(name_fault(name)) << name;
  }
  EXPECT_FALSE(name_fault(std::string(100, 'x')));
  EXPECT_TRUE(name_fault(std::string(101, 'x')));
}

TEST_F(StudentCommand, ReportsWrongInput) {
  done({"add", "Mira"});
  done({"note", "Mira", "--set", "echo"});
  done({"note", "Mira", "--done", "echo"});
  const auto expect = [&](const std::vector<std::string>& words, const std::string& message) {
    const Outcome outcome = student(words);
    EXPECT_EQ(outcome.status, 2) << message;
    EXPECT_NE(outcome.err.find(message), std::string::npos) << outcome.err;
    EXPECT_EQ(outcome.out, "");
  };
  expect({}, "student needs to know what to do");
  expect({"shwo", "Mira"}, "did you mean romanesca student show?");
  expect({"show"}, "student show needs the name");
  expect({"show", "Mria"}, "there is no student \"Mria\"\n    did you mean Mira?");
  expect({"show", "7"}, "there is no student \"7\"\n    romanesca student list");
  expect({"show", "Mira", "Ole"}, "one word too many");
  expect({"show", "Mira", "--jsno"}, "student show has no option --jsno\n    did you mean --json?");
  expect({"add", "12"}, "the name is a number");
  expect({"add", "\xff"}, "the name holds a character");
  expect({"add", "Ole", "--level", "9"}, "--level: there is no level 9\n    levels are 1 to 8");
  expect({"add", "Ole", "--level", "x"}, "--level: \"x\" is not a whole number");
  expect({"add", "Ole", "--span", "3"}, "--span: 3 is out of range\n    a hand stretches 5 to 16 semitones");
  expect({"add", "Ole", "--keys", "C, H"}, "--keys: unknown key \"H\"");
  expect({"add", "Ole", "--likes", "a\tb"}, "--likes: ");
  expect({"add", "Ole", "--date", "20.11.2026"}, "--date: \"20.11.2026\" is not a date");
  expect({"set", "Mira"}, "student set needs to know what to change");
  expect({"note", "Mira"}, "student note needs something to write down");
  expect({"note", "Mira", "a\nb"}, "the text holds a character");
  expect({"note", "Mira", "--set", "a", "--done", "b"}, "one thing at a time");
  expect({"note", "Mira", "--done", "9"}, "--done: there is no entry 9");
  expect({"note", "Mira", "--done", "2"}, "--done: entry 2 is not a task but \"done\"");
  expect({"note", "Mira", "--set", "x", "--key", "H"}, "--key: unknown key \"H\"");
  expect({"note", "Mira", "--set", "x", "--seed", "-4"}, "--seed: -4 is out of range\n    choose 0 to");
  expect({"history", "Mira", "--since", "May"}, "--since: \"May\" is not a date");
  expect({"export", "--out", "x.pdf"}, ".pdf files cannot be written here");
  EXPECT_EQ(value_or_throw(test::opened(data_).records()).size(), 1U);
  EXPECT_EQ(value_or_throw(test::opened(data_).history(1)).size(), 2U);
}

TEST_F(StudentCommand, ANameMayBeTheWordOfAnAction) {
  done({"add", "next"});
  done({"note", "next", "add"});
  EXPECT_NE(done({"show", "next"}).find("add"), std::string::npos);
}

TEST_F(StudentCommand, ADoneTaskIsNotOpen) {
  done({"add", "Mira", "--level", "3"});
  done({"note", "Mira", "--set", "echo", "--key", "G", "--seed", "7"});
  done({"note", "Mira", "--chosen", "echo", "--key", "D"});
  done({"note", "Mira", "--set", "rhythm"});
  done({"note", "Mira", "--done", "echo", "the latest of that name"});
  done({"note", "Mira", "--missed", "3"});
  const auto entries = value_or_throw(test::opened(data_).history(1));
  EXPECT_EQ(entries[3].about, 2);
  EXPECT_EQ(to_string(*entries[3].key), "D major");
  EXPECT_EQ(entries[4].about, 3);
  const auto open = open_entries(entries);
  ASSERT_EQ(open.size(), 1U);
  EXPECT_EQ(open[0].number, 1);
  EXPECT_EQ(open[0].seed, 7);
}

TEST_F(StudentCommand, RemovalAsksForConfirmationOnATerminal) {
  done({"add", "Mira"});
  const Outcome piped = student({"remove", "Mira"}, "Mira\n");
  EXPECT_EQ(piped.status, 2);
  EXPECT_NE(piped.err.find("say --yes"), std::string::npos) << piped.err;
  EXPECT_EQ(student({"remove", "Mira"}, "mira\n", true).status, 2);
  EXPECT_EQ(student({"remove", "Mira"}, "", true).status, 2);
  EXPECT_EQ(value_or_throw(test::opened(data_).students()).size(), 1U);
  const Outcome typed = student({"remove", "Mira"}, "Mira\n", true);
  EXPECT_EQ(typed.status, 0);
  EXPECT_NE(typed.err.find("Type the name to go on: "), std::string::npos);
  EXPECT_NE(typed.out.find("stays where it is"), std::string::npos);
  EXPECT_EQ(value_or_throw(test::opened(data_).students()).size(), 0U);
}

// After a removal neither the file nor its log has the student's data, nor the student's earlier names and texts.
TEST_F(StudentCommand, RemovalErasesEverything) {
  const auto anywhere = [&](const std::string& word) {
    bool found = false;
    for (const auto& entry : std::filesystem::directory_iterator(data_)) {
      found = found || bytes_of(entry.path()).find(word) != std::string::npos;
    }
    return found;
  };
  done({"add", "Quirina", "--likes", "zithers"});
  done({"add", "Ole"});
  Store other = test::opened(data_);  // a second connection, which keeps the log file
  for (int i = 0; i < 300; ++i) {
    done({"note", "Quirina", "gloxinia " + std::to_string(i)});
    if (i % 3 == 0) done({"note", "Ole", "tulip " + std::to_string(i)});
  }
  done({"set", "Quirina", "--name", "Xaveria"});
  EXPECT_TRUE(anywhere("Quirina"));
  EXPECT_TRUE(anywhere("gloxinia"));
  done({"remove", "Xaveria", "--yes"});
  for (const char* word : {"Quirina", "Xaveria", "gloxinia", "zithers"}) EXPECT_FALSE(anywhere(word)) << word;
  EXPECT_TRUE(anywhere("tulip"));
  EXPECT_EQ(other.students()->size(), 1U);
  EXPECT_EQ(other.history(2)->size(), 100U);
}

// A program that is reading keeps old pages in the log: this is reported, and the next run empties the log.
TEST_F(StudentCommand, RemovalWhileAnotherReads) {
  done({"add", "Quirina"});
  {
    Database reader(file(), std::chrono::seconds(1));
    reader.run("BEGIN");
    EXPECT_EQ(reader.number("SELECT count(*) FROM students"), 1);
    Store store = test::opened(data_, std::chrono::milliseconds(50));
    EXPECT_FALSE(store.remove(1));
    EXPECT_EQ(value_or_throw(test::opened(data_).students()).size(), 0U);
    reader.run("COMMIT");
  }
  done({"list"});
  EXPECT_EQ(bytes_of(file()).find("Quirina"), std::string::npos);
  EXPECT_FALSE(std::filesystem::exists(file().string() + "-wal"));
}

}  // namespace
}  // namespace romanesca::test
