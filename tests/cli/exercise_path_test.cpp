// Exercises that lead somewhere: levels, units, notes for a notation program, answers that the record remembers,
// progress.
#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <pugixml.hpp>
#include <sstream>

#include "cli/formats/exercise_musicxml.h"
#include "cli/formats/exercise_text.h"
#include "cli/formats/paper/unit_booklet.h"
#include "cli/options.h"
#include "cli/studio/ear_record.h"
#include "tests/cli/in_process.h"

namespace romanesca {
namespace {

using test::run_in_process;

Exercise sheet(const std::string& id, int number, std::uint64_t seed = 1) {
  ExerciseRequest request;
  request.level = level(number);
  request.id = id;
  request.seed = seed;
  request.choices = 1;
  return set_exercises(request)->front();
}

TEST(ExercisePath, LevelsAreShown) {
  const auto shown = run_in_process({"exercise", "--levels"});
  EXPECT_EQ(shown.status, 0);
  for (const char* part : {"Level 1", "Level 8", "harmony", "hands", "rhythm", "form", "new by ear", "M3 P5 P8"}) {
    EXPECT_NE(shown.out.find(part), std::string::npos) << part;
  }
  const auto json = nlohmann::json::parse(run_in_process({"exercise", "--levels", "--json"}).out);
  EXPECT_EQ(json["schema"], 1);
  EXPECT_EQ(json["levels"].size(), 8U);
}

TEST(ExercisePath, AUnitIsOneBooklet) {
  const auto booklet = run_in_process({"exercise", "--unit", "beginner", "--json"});
  ASSERT_EQ(booklet.status, 0) << booklet.err;
  const auto json = nlohmann::json::parse(booklet.out);
  EXPECT_EQ(json["exercises"].size(), 16U);
  EXPECT_EQ(json["exercises"][15]["week"], 8);
  EXPECT_EQ(json["unit"]["weeks"].size(), 8U);
  const auto unknown = run_in_process({"exercise", "--unit", "toddler"});
  EXPECT_EQ(unknown.status, 2);
  EXPECT_NE(unknown.err.find("they are beginner, teenager and adult"), std::string::npos) << unknown.err;
}

/// The texts of a page, in the order of reading.
std::vector<std::string> words_on(const Page& page) {
  std::vector<std::string> texts;
  for (const Mark& mark : page.marks) {
    if (const auto* text = std::get_if<TextMark>(&mark.shape)) texts.push_back(text->text);
  }
  return texts;
}

bool has_words(const std::vector<std::string>& texts, const std::string& wanted) {
  return std::find(texts.begin(), texts.end(), wanted) != texts.end();
}

// The cover says for whom the unit is, what is learnt and on which page each week begins; every sheet says its week.
TEST(ExercisePath, ABookletHasACoverAndWeeks) {
  for (const Unit& unit : units()) {
    const auto sheets = *unit_sheets(unit, levels(), 1);
    const std::vector<int> weeks = weeks_of_sheets(unit);
    for (const char* size : {"a4", "letter"}) {
      const PaperSettings paper = paper_named(size);
      const Drawing booklet = unit_booklet(unit, sheets, false, paper);
      EXPECT_EQ(booklet.title, unit.title);
      const auto cover = words_on(booklet.pages.front());
      for (const std::string& words : {unit.title, unit.whom, std::string("This book belongs to"), unit.learnt.back()})
        EXPECT_TRUE(has_words(cover, words)) << words;
      int week = 0;
      for (std::size_t i = 1; i < booklet.pages.size(); ++i) {
        const Page& page = booklet.pages[i];
        if (page.bookmark.empty()) continue;  // a sheet goes on
        if (page.bookmark.starts_with("Week ")) {
          ++week;
          EXPECT_EQ(page.bookmark, week_heading(unit, week));
          EXPECT_TRUE(has_words(cover, std::to_string(i + 1)))
              << unit.id << " week " << week << " is on page " << i + 1;
        }
        const std::string first = words_on(page).front();
        EXPECT_TRUE(week > 0 && week_heading(unit, week).starts_with(first) && first.size() > 7) << first;
      }
      EXPECT_EQ(static_cast<std::size_t>(week), unit.weeks.size());
    }
  }
}

TEST(ExercisePath, ABookletAsTextHasThemToo) {
  const std::string text = run_in_process({"exercise", "--unit", "adult"}).out;
  for (const char* part :
       {"A first term for an adult\n", "   For adults who begin, or begin again. 7 weeks, level 2.\n", "Name ____",
        "At the end I can\n", "\nWeek 7: A song in another key, and a tune of your own\n\n"}) {
    EXPECT_NE(text.find(part), std::string::npos) << part;
  }
  const std::string with_answers = run_in_process({"exercise", "--unit", "adult", "--answers"}).out;
  EXPECT_NE(with_answers, text);
}

TEST(ExercisePath, RhythmsInWords) {
  const Meter four{4, 4};
  const std::vector<RhythmNote> dotted{{Beats(0), Beats(3, 2)}, {Beats(3, 2), Beats(1, 2)}, {Beats(2), Beats(1)}};
  EXPECT_EQ(rhythm_names(dotted, four), "dotted quarter, eighth, quarter, quarter rest");
  const std::vector<RhythmNote> late{{Beats(1, 2), Beats(1)}, {Beats(3, 2), Beats(5, 2)}};
  EXPECT_EQ(rhythm_names(late, four), "eighth rest, quarter, eighth tied to half");
  const std::vector<RhythmNote> over{{Beats(0), Beats(3)}, {Beats(3), Beats(2)}};
  EXPECT_EQ(rhythm_names(over, four), "dotted half, quarter tied over | quarter, dotted half rest");
  const std::vector<RhythmNote> three{
      {Beats(0), Beats(2, 3)}, {Beats(2, 3), Beats(2, 3)}, {Beats(4, 3), Beats(2, 3)}, {Beats(2), Beats(2)}};
  EXPECT_EQ(rhythm_names(three, four), "triplet quarter, triplet quarter, triplet quarter, half");
}

// Every bar of the score is full, and its pitches and lengths are those of the exercise.
TEST(ExercisePath, NotesAsMusicXml) {
  for (const ExerciseKind& kind : exercise_kinds()) {
    for (const bool answers : {false, true}) {
      const Exercise exercise = sheet(kind.id, kind.highest, 3);
      const std::string score = exercise_musicxml(exercise, answers);
      if (score.empty()) continue;
      pugi::xml_document document;
      ASSERT_TRUE(document.load_string(score.c_str())) << kind.id;
      const auto part = document.child("score-partwise").child("part");
      const auto divisions = part.child("measure").child("attributes").child("divisions").text().as_llong();
      ASSERT_GT(divisions, 0);
      const Beats bar = exercise.progression.meter().bar_length() * divisions;
      for (const auto& measure : part.children("measure")) {
        long long filled = 0;
        for (const auto& note : measure.children("note")) filled += note.child("duration").text().as_llong();
        EXPECT_EQ(Beats(filled), bar) << kind.id << " measure " << measure.attribute("number").value();
      }
    }
  }
}

// A tune that is an answer is not in the student's score.
TEST(ExercisePath, TheScoreDoesNotTellTheAnswer) {
  const Exercise exercise = sheet("melodic-dictation", 4);
  const auto pitches = [](const std::string& score) {
    std::size_t count = 0;
    for (std::size_t at = score.find("<pitch>"); at != std::string::npos; at = score.find("<pitch>", at + 1)) ++count;
    return count;
  };
  EXPECT_EQ(pitches(exercise_musicxml(exercise, false)), 0U);
  EXPECT_GE(pitches(exercise_musicxml(exercise, true)), exercise.answer->solution.size());
  const std::string text = exercise_text(exercise, {"", false, "", 80});
  EXPECT_EQ(text.find("the tune\n"), std::string::npos);
  EXPECT_NE(exercise_text(exercise, {"", true, "", 80}).find("the tune\n"), std::string::npos);
}

TEST(ExercisePath, WhatWasConfusedIsRemembered) {
  const Date day = *parse_date("2026-11-20");
  const Exercise exercise = sheet("intervals", 3, 4);
  ExerciseCheck check;
  check.confused = {{"m3", "M3"}, {"P4", "P5"}, {"m3", "M3"}};
  const Entry entry = entry_of_check(exercise, check, day);
  EXPECT_EQ(entry.kind, EntryKind::missed);
  EXPECT_EQ(entry.text, "heard: m3 as M3; P4 as P5");
  EXPECT_EQ(confused_words({entry}, "intervals"), (std::vector<std::string>{"m3", "M3", "P4", "P5"}));
  EXPECT_TRUE(confused_words({entry}, "scale-degrees").empty());
  Entry other = entry;
  other.text = "a good day";
  EXPECT_EQ(confused_words({other, entry}, "intervals").size(), 4U);
  EXPECT_TRUE(confused_words({other}, "intervals").empty());
}

/// A folder with a record of one student.
class StudentPath : public testing::Test {
 protected:
  std::filesystem::path folder_ = std::filesystem::path(testing::TempDir()) / "student_path";
  void SetUp() override {
    std::filesystem::remove_all(folder_);
    std::filesystem::create_directories(folder_);
    EXPECT_EQ(in_studio({"student", "add", "Mira", "--level", "2"}).status, 0);
  }
  void TearDown() override { std::filesystem::remove_all(folder_); }
  [[nodiscard]] test::Outcome in_studio(const std::vector<std::string>& arguments) const {
    return run_in_process(arguments, "", folder_, folder_);
  }
};

TEST_F(StudentPath, ProgressAsTextAndAsAPage) {
  EXPECT_EQ(in_studio({"student", "note", "Mira", "--done", "few-notes", "--date", "2026-11-01"}).status, 0);
  const auto text = in_studio({"student", "progress", "Mira", "--date", "2026-11-02"});
  ASSERT_EQ(text.status, 0) << text.err;
  EXPECT_NE(text.out.find("make music with a few notes (1 time, again tomorrow)"), std::string::npos) << text.out;
  EXPECT_NE(text.out.find("improvise a tune on five notes"), std::string::npos);  // its ground is laid
  const std::string page = (folder_ / "mira.html").string();
  const auto made = in_studio({"student", "progress", "Mira", "--out", page});
  ASSERT_EQ(made.status, 0) << made.err;
  std::ifstream file(page);
  std::stringstream html;
  html << file.rdbuf();
  EXPECT_NE(html.str().find("<h2>What is growing</h2>\n<ul>\n<li>Make music with a few notes</li>"), std::string::npos)
      << html.str();
  EXPECT_EQ(html.str().find("<script"), std::string::npos);
  const auto json = nlohmann::json::parse(in_studio({"student", "progress", "Mira", "--json"}).out);
  EXPECT_EQ(json["schema"], 1);
}

// The six steps of a piece know the student's own: its chords, and its tune so far.
TEST_F(StudentPath, TheStepsOfAPieceKnowTheSongSoFar) {
  const auto steps = {"piece-chords",        "piece-rhythm",      "piece-chord-tones",
                      "piece-passing-notes", "piece-second-part", "piece-ending"};
  const auto sheet_of = [&](const char* step) {
    const auto made = in_studio({"exercise", "--id", step, "--level", "3", "--student", "Mira", "--json"});
    EXPECT_EQ(made.status, 0) << made.err;
    return nlohmann::json::parse(made.out)["exercises"][0];
  };
  for (const char* step : steps) EXPECT_FALSE(sheet_of(step).contains("melody_name")) << step;  // nothing is kept yet
  const auto keep = [&](const std::string& text, const std::string& date) {
    std::ofstream(folder_ / "song.txt") << text;
    const auto kept = in_studio({"student", "song", "Mira", (folder_ / "song.txt").string(), "--date", date});
    EXPECT_EQ(kept.status, 0) << kept.err;
  };
  keep("title: Snow on the Gate\nkey: G\nmeter: 3/4\n| G | D | C | G |\n", "2026-11-01");
  keep("title: Snow on the Gate\nkey: G\nmeter: 3/4\n| G | D | C | G |\ntune: D2 | G2 A2 B2 | A4 c2 | E6 | D4 z2 |\n",
       "2026-11-02");
  keep("title: An Older One\nkey: C\n| C | F | G | C |\n", "2026-10-01");
  for (const char* step : steps) {
    const auto sheet = sheet_of(step);
    EXPECT_EQ(sheet["chords"], (nlohmann::json{"G", "D", "C", "G"})) << step;
    EXPECT_EQ(sheet["melody_name"], "Snow on the Gate, so far") << step;
    std::string notes;
    for (const auto& note : sheet["melody"]) notes += note["note"].get<std::string>() + " ";
    // The upbeat sounds in the last bar, as the band goes round.
    EXPECT_EQ(notes, "G4 A4 B4 A4 C5 E4 D4 D4 ") << step;
  }
  const auto text = in_studio({"exercise", "--id", "piece-ending", "--level", "3", "--student", "Mira"});
  EXPECT_NE(text.err.find("with Snow on the Gate, version 2, of Mira"), std::string::npos) << text.err;
  EXPECT_NE(text.out.find("Snow on the Gate, so far\n     bar 1  G4 quarter, A4 quarter, B4 quarter\n"),
            std::string::npos)
      << text.out;
  EXPECT_NE(text.out.find("exercise --student \"Mira\" --id piece-ending"), std::string::npos) << text.out;
  // A song that is given comes first; other exercises take none.
  const auto given = in_studio(
      {"exercise", "| F | Bb | C | F |", "--id", "piece-rhythm", "--level", "3", "--student", "Mira", "--json"});
  EXPECT_EQ(nlohmann::json::parse(given.out)["exercises"][0]["chords"][0], "F");
  EXPECT_EQ(in_studio({"exercise", "--id", "few-notes", "--student", "Mira"}).err, "");
}

TEST_F(StudentPath, ACheckedAnswerIsWrittenDown) {
  const auto wrong = in_studio({"exercise", "--id", "intervals", "--level", "2", "--seed", "4", "--check",
                                "P8 P8 P8 P8 P8", "--student", "Mira"});
  ASSERT_EQ(wrong.status, 0) << wrong.err;
  EXPECT_NE(wrong.out.find("Written down for Mira"), std::string::npos) << wrong.out;
  const auto history = in_studio({"student", "history", "Mira"});
  EXPECT_NE(history.out.find("missed"), std::string::npos) << history.out;
  EXPECT_NE(history.out.find("heard: "), std::string::npos) << history.out;
}

// Three choices of different kinds, the third with the student's own song.
TEST_F(StudentPath, OneChoiceUsesTheOwnSong) {
  EXPECT_EQ(in_studio({"student", "note", "Mira", "--done", "steady-chords"}).status, 0);
  const auto next = in_studio({"student", "next", "Mira", "--json"});
  ASSERT_EQ(next.status, 0) << next.err;
  const auto json = nlohmann::json::parse(next.out);
  ASSERT_EQ(json["exercises"].size(), 3U);
  EXPECT_EQ(json["exercises"][2]["kind"], "song");
}

}  // namespace
}  // namespace romanesca
