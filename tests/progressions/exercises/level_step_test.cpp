// What each level adds (progressions/exercises/level_steps.toml), compared with what two published syllabuses ask for
// at which grade. Both from memory, as facts and without their wording:
//   ABRSM: Associated Board of the Royal Schools of Music, Aural Tests, grades 1 to 8 (2011 on)
//   RCM: The Royal Conservatory of Music, Piano Syllabus, ear tests, levels 1 to 10 (2015 and 2022)
#include "progressions/exercises/level_step.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <set>

#include "progressions/exercise.h"
#include "progressions/exercises/material.h"
#include "progressions/level.h"
#include "tests/sweep.h"

namespace romanesca {
namespace {

template <typename Value, typename List>
int level_of_first(const Value& value, List list) {
  for (const LevelStep& step : level_steps()) {
    const auto& all = step.*list;
    if (std::find(all.begin(), all.end(), value) != all.end()) return step.number;
  }
  return 9;
}

int interval_level(const char* name) { return level_of_first(*parse_interval(name), &LevelStep::intervals); }
int chord_level(const char* name) { return level_of_first(parse_chord(name)->type, &LevelStep::chords); }
int cadence_level(CadenceKind kind) { return level_of_first(kind, &LevelStep::cadences); }

TEST(LevelSteps, EightThatGrow) {
  ASSERT_EQ(level_steps().size(), 8U);
  std::set<std::string> texts;
  for (const LevelStep& step : level_steps()) {
    for (const std::string& text : {step.harmony, step.hands, step.rhythm, step.ear, step.form}) {
      EXPECT_TRUE(texts.insert(text).second) << "level " << step.number << ": " << text;
    }
    if (step.number == 1) continue;
    const LevelStep& before = level_step(step.number - 1);
    EXPECT_GE(step.questions, before.questions);
    EXPECT_GE(step.rounds, before.rounds);
    EXPECT_GE(step.bars, before.bars);
    EXPECT_GE(step.intervals.size(), before.intervals.size());
  }
}

// RCM: thirds and the perfect fifth among the first intervals, fourth and octave soon after, sixths and seconds in the
// middle, sevenths later, the tritone last. ABRSM names no intervals, and asks for nothing that contradicts the order.
TEST(LevelSteps, IntervalsInTheOrderOfASyllabus) {
  EXPECT_LE(interval_level("M3"), interval_level("P4"));
  EXPECT_LE(interval_level("P5"), interval_level("P4"));
  EXPECT_LE(interval_level("P4"), interval_level("M6"));
  EXPECT_LE(interval_level("P4"), interval_level("m6"));
  EXPECT_LE(interval_level("m6"), interval_level("m7"));
  EXPECT_LE(interval_level("m7"), interval_level("M7"));
  EXPECT_LT(interval_level("M7"), interval_level("A4"));
}

// RCM: major and minor triads first, the dominant seventh in the middle levels, augmented and diminished after the
// triads. ABRSM: major or minor from grade 4 on, dominant sevenths among the chords to be named in grade 8.
TEST(LevelSteps, ChordsInTheOrderOfASyllabus) {
  EXPECT_EQ(chord_level("C"), 1);
  EXPECT_EQ(chord_level("Cm"), 1);
  EXPECT_LT(chord_level("C"), chord_level("C7"));
  EXPECT_LT(chord_level("Cm"), chord_level("Cdim"));
  EXPECT_LT(chord_level("Cm"), chord_level("Caug"));
  EXPECT_LT(chord_level("C7"), chord_level("Cdim7"));
}

// ABRSM: perfect and imperfect cadences in grade 6, the interrupted one in grade 7, the plagal one in grade 8. RCM:
// perfect and plagal first, then imperfect and interrupted ones. Both begin with the perfect cadence; between plagal
// and interrupted they differ, and we follow RCM.
TEST(LevelSteps, CadencesInTheOrderOfASyllabus) {
  for (const auto kind : {CadenceKind::half, CadenceKind::plagal, CadenceKind::deceptive}) {
    EXPECT_LE(cadence_level(CadenceKind::authentic), cadence_level(kind));
  }
  EXPECT_LE(cadence_level(CadenceKind::half), cadence_level(CadenceKind::deceptive));
  EXPECT_LE(cadence_level(CadenceKind::plagal), cadence_level(CadenceKind::deceptive));
}

// ABRSM: clapping a pulse in two or three time in grades 1 to 3, four from 4 on, 6/8 from grade 6 on; RCM: 6/8 from
// level 3 on. Sixteenths come after eighths and dotted quarters in both.
TEST(LevelSteps, RhythmsInTheOrderOfASyllabus) {
  const auto first_with = [](const auto& has) {
    int lowest = 9;
    for (const ExerciseRhythm& rhythm : exercise_rhythms()) {
      if (std::any_of(rhythm.notes.begin(), rhythm.notes.end(), has)) lowest = std::min(lowest, rhythm.level);
    }
    return lowest;
  };
  const int quarters = first_with([](const RhythmNote& note) { return note.length == Beats(1); });
  const int eighths = first_with([](const RhythmNote& note) { return note.length == Beats(1, 2); });
  const int sixteenths = first_with([](const RhythmNote& note) { return note.length == Beats(1, 4); });
  EXPECT_EQ(quarters, 1);
  EXPECT_LE(quarters, eighths);
  EXPECT_LT(eighths, sixteenths);
  EXPECT_EQ(sixteenths, 7);  // as the table says
}

/// What the sheets of a kind at a level ask for: everything but titles, tempo and style.
std::set<std::string> task_of(const ExerciseKind& kind, int number) {
  std::set<std::string> task;
  for (std::uint64_t seed = 0; seed < 30; ++seed) {
    ExerciseRequest request;
    request.key = {PitchClass(0), seed % 2 == 0 ? Mode::major : Mode::minor};
    request.level = level(number);
    request.id = kind.id;
    request.seed = seed;
    request.choices = 1;
    const Exercise exercise = set_exercises(request)->front();
    for (const TimedChord& timed : exercise.timeline().chords) {
      const PitchClass above = PitchClass(timed.chord->root.fifths() - exercise.key.tonic.fifths());
      task.insert("chord " + to_string(Chord::on(above, timed.chord->type)));
      task.insert("inversion " + std::to_string(timed.chord->inversion().value_or(9)));
    }
    for (const RhythmNote& note : exercise.rhythm) {
      task.insert("rhythm " + std::to_string(note.start.numerator()) + "/" + std::to_string(note.start.denominator()) +
                  " " + std::to_string(note.length.numerator()) + "/" + std::to_string(note.length.denominator()) +
                  " " + to_string(exercise.progression.meter()));
    }
    for (const ExerciseShape& shape : exercise.shapes) {
      task.insert("left of " + std::to_string(shape.hands.left.size()));
      task.insert("shape " + std::to_string(shape.hands.inversion) + " of " + std::to_string(shape.hands.right.size()));
    }
    for (const NoteEvent& event : exercise.heard) {
      const Beats bar = exercise.progression.meter().bar_length();
      const Beats into = event.start - bar * whole_times(event.start, bar);
      task.insert("heard " + std::to_string(event.length.quarters()) + " at " + std::to_string(into.quarters()));
    }
    task.insert("bars " + std::to_string(exercise.timeline().bars));
    task.insert("notes " + std::to_string(exercise.notes.size()));
    if (!exercise.answer) continue;
    task.insert("places " + std::to_string(exercise.answer->solution.size()));
    for (const std::string& word : exercise.answer->words) task.insert("word " + word);
    for (const auto& place : exercise.answer->solution) task.insert("answers " + place.front());
  }
  return task;
}

// A level changes the task, not only its key or tempo: over thirty seeds in the same two keys the sheets of
// neighbouring levels differ in chords, rhythms, hands, length, or what is asked.
TEST(LevelSteps, NeighbouringLevelsOfAKindDiffer) {
  const std::vector<ExerciseKind> kinds(exercise_kinds().begin(), exercise_kinds().end());
  for (const ExerciseKind& kind : test::tried(kinds)) {
    std::set<std::string> before = task_of(kind, kind.lowest);
    for (int number = kind.lowest + 1; number <= kind.highest; ++number) {
      std::set<std::string> task = task_of(kind, number);
      EXPECT_NE(before, task) << kind.id << ", level " << number << " and the one before";
      before = std::move(task);
    }
  }
}

TEST(LevelSteps, FaultsHaveAPlace) {
  const auto read = read_level_steps({"level_steps", "[1]\nharmony = \"x\"\n"});
  ASSERT_FALSE(read);
  EXPECT_EQ(read.error().message, "1: hands is missing");
}

}  // namespace
}  // namespace romanesca
