#include <nlohmann/json.hpp>

#include "cli/studio/lesson_proposals.h"
#include "tests/cli/studio/record/record_folder.h"

namespace romanesca::test {
namespace {

using StudentNext = RecordFolder;

Entry task(int number, int on, EntryKind kind, const char* exercise, int about = 0) {
  Entry entry;
  entry.number = number;
  entry.date = day(11, on);
  entry.kind = kind;
  entry.exercise = exercise;
  entry.about = about;
  return entry;
}

TEST(LearnerOf, HasTheResultOfEachTask) {
  StudentRecord record;
  record.student.profile.level = 4;
  record.entries = {task(1, 10, EntryKind::set, "few-notes"),
                    task(2, 1, EntryKind::chosen, "echo"),
                    task(3, 11, EntryKind::note, ""),
                    task(4, 12, EntryKind::missed, "few-notes", 1),
                    task(5, 13, EntryKind::done, "few-notes", 1),
                    task(6, 14, EntryKind::done, "bass"),
                    task(7, 15, EntryKind::missed, "echo", 2)};
  const Learner learner = learner_of(record);
  EXPECT_EQ(learner.level, 4);
  ASSERT_EQ(learner.history.size(), 3U);
  EXPECT_EQ(learner.history[0].exercise, "echo");  // of an earlier day, though written later
  EXPECT_EQ(learner.history[0].result, PractiseResult::missed);
  EXPECT_EQ(learner.history[1].exercise, "few-notes");
  EXPECT_EQ(learner.history[1].result, PractiseResult::done);  // the latest result
  EXPECT_EQ(learner.history[2].exercise, "bass");
  EXPECT_EQ(learner.history[2].result, PractiseResult::done);
}

/// The seed depends only on the student's uid, the history and the day; a change of name or likes keeps the proposals.
TEST(PlanSeed, ComesFromTheStudentAndTheHistory) {
  StudentRecord record;
  record.student.uid = "0123456789abcdef";
  record.student.profile.name = "Mira";
  record.entries = {task(1, 10, EntryKind::set, "few-notes"), task(2, 11, EntryKind::done, "few-notes", 1)};
  const std::uint64_t seed = plan_seed(record, day(11, 20));
  const auto seed_with = [&](const auto& change) {
    StudentRecord other = record;
    change(other);
    return plan_seed(other, day(11, 20));
  };
  EXPECT_EQ(seed_with([](StudentRecord& r) { r.student.profile.name = "Mira B."; }), seed);
  EXPECT_EQ(seed_with([](StudentRecord& r) { r.student.profile.likes = {"waltz"}; }), seed);
  EXPECT_EQ(seed_with([](StudentRecord& r) { r.student.id = 7; }), seed);
  EXPECT_EQ(seed_with([](StudentRecord& r) { r.entries[0].text = "a remark"; }), seed);
  EXPECT_NE(seed_with([](StudentRecord& r) { r.student.uid = "0123456789abcdee"; }), seed);
  EXPECT_NE(seed_with([](StudentRecord& r) { r.entries.pop_back(); }), seed);
  EXPECT_NE(seed_with([](StudentRecord& r) { r.entries[1].kind = EntryKind::missed; }), seed);
  EXPECT_NE(plan_seed(record, day(11, 21)), seed);
  // The number itself, computed from the text below by another program (FNV-1a in Python): it may not change from
  // version to version.
  //   "0123456789abcdef\n1 2026-11-10 set few-notes 0\n2 2026-11-11 done few-notes 1\n2026-11-20"
  EXPECT_EQ(seed, 5855U);
}

TEST_F(StudentNext, IsDeterminedByTheRecordAndTheDay) {
  done({"add", "Mira", "--level", "3", "--keys", "C, G"});
  const std::string first = done({"next", "Mira"});
  EXPECT_EQ(done({"next", "Mira"}), first);
  EXPECT_NE(done({"next", "Mira", "--date", "2026-11-21"}), first);
  EXPECT_EQ(value_or_throw(test::opened(data_).history(1)).size(), 0U);  // proposing writes nothing
  // On another day the seed brings the same choices.
  const auto json = nlohmann::json::parse(done({"next", "Mira", "--json"}));
  const auto later =
      nlohmann::json::parse(done({"next", "Mira", "--json", "--date", "2026-12-24", "--seed", json["seed"].dump()}));
  EXPECT_EQ(later["exercises"], json["exercises"]);
  ASSERT_EQ(json["exercises"].size(), 3U);
  EXPECT_EQ(json["exercises"][1]["choice"], "B");
  EXPECT_EQ(json["exercises"][1]["plan"]["step"], "further");
}

TEST_F(StudentNext, AcceptSavesAnEntryAndFiles) {
  done({"add", "Mira", "--level", "3", "--keys", "C, G"});
  const auto offered = nlohmann::json::parse(done({"next", "Mira", "--json"}))["exercises"][1];
  const std::string pdf = (base_ / "mira.pdf").string();
  const std::string text = (base_ / "mira.txt").string();
  const std::string midi = (base_ / "mira.mid").string();
  const auto answer = nlohmann::json::parse(
      done({"next", "Mira", "--accept", "B", "--json", "--out", pdf, "--out", midi, "--chart", text}));
  EXPECT_EQ(answer["files"], (nlohmann::json{pdf, midi, text}));
  const auto entries = value_or_throw(test::opened(data_).history(1));
  ASSERT_EQ(entries.size(), 1U);
  EXPECT_EQ(entries[0].kind, EntryKind::chosen);
  EXPECT_EQ(entries[0].choice, "B");
  EXPECT_EQ(entries[0].exercise, offered["id"]);
  EXPECT_EQ(to_string(*entries[0].key), offered["plan"]["key"]);
  EXPECT_EQ(entries[0].level, offered["level"]);
  EXPECT_EQ(entries[0].seed, offered["seed"].get<std::int64_t>());
  // The command exercise makes the same one again from the saved data.
  const auto again =
      run_in_process({"exercise", "--id", entries[0].exercise, "--key", to_string(*entries[0].key), "--level",
                      std::to_string(entries[0].level), "--seed", std::to_string(*entries[0].seed), "--json"});
  EXPECT_EQ(nlohmann::json::parse(again.out)["exercises"][0]["steps"], offered["steps"]) << again.err;
  EXPECT_TRUE(bytes_of(pdf).starts_with("%PDF-"));
  EXPECT_TRUE(bytes_of(midi).starts_with("MThd"));
  EXPECT_NE(bytes_of(text).find("right hand"), std::string::npos);
}

// If a file cannot be written, no entry is saved.
TEST_F(StudentNext, AFailedFileMakesNoEntry) {
  done({"add", "Mira", "--level", "3"});
  EXPECT_EQ(student({"next", "Mira", "--accept", "A", "--out", (base_ / "no" / "x.pdf").string()}).status, 3);
  const auto refused = [&](const std::vector<std::string>& words, const std::string& message) {
    const Outcome outcome = student(words);
    EXPECT_EQ(outcome.status, 2);
    EXPECT_NE(outcome.err.find(message), std::string::npos) << outcome.err;
  };
  refused({"next", "Mira", "--accept", "D"}, "--accept: \"D\" is not one of the choices\n    they are A to C");
  refused({"next", "Mira", "--out", "x.pdf"}, "say which one, like --accept B");
  refused({"next", "Mira", "--accept", "A", "--out", "x.docx"}, ".docx files cannot be written here");
  EXPECT_TRUE(value_or_throw(test::opened(data_).history(1)).empty());
}

TEST_F(StudentNext, FollowsTheTeachersLevels) {
  done({"add", "Mira", "--level", "1", "--keys", "C"});
  std::string own(level_texts().front().text);
  own.replace(own.find("accidentals = 1"), 15, "accidentals = 0");
  put_bytes(base_ / "levels.toml", own);
  for (int i = 0; i < 3; ++i) {
    done({"note", "Mira", "--done", std::vector<std::string>{"few-notes", "rhythm-motif", "question-and-answer"}[i],
          "--key", "C"});
  }
  const auto step = [&](const std::filesystem::path& configuration) {
    const Outcome outcome = run_in_process({"student", "next", "Mira", "--json"}, "", configuration, data_);
    EXPECT_EQ(outcome.status, 0) << outcome.err;
    return nlohmann::json::parse(outcome.out)["exercises"][1]["plan"]["key"].get<std::string>();
  };
  EXPECT_EQ(step({}), "G major");
  EXPECT_EQ(step(base_), "A minor");  // the only other key without accidentals
}

}  // namespace
}  // namespace romanesca::test
