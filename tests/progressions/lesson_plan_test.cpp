#include "progressions/lesson_plan.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <set>

#include "tests/sweep.h"
#include "theory/chords/key.h"

namespace romanesca {
namespace {

ExerciseKind kind(const std::string& id, ExerciseFamily family, int lowest, int highest,
                  const std::string& character = "plain", const std::vector<std::string>& backings = {"pop"}) {
  ExerciseKind result;
  result.id = id;
  result.family = family;
  result.lowest = lowest;
  result.highest = highest;
  result.character = character;
  result.backings = backings;
  return result;
}

/// A small shelf: nine kinds of four families.
const std::vector<ExerciseKind>& shelf() {
  using enum ExerciseFamily;
  static const std::vector<ExerciseKind> kinds{
      kind("few", improvise, 1, 8, "sparing"),     kind("echo", improvise, 1, 8, "talking", {"waltz"}),
      kind("vamp", improvise, 4, 8, "floating"),   kind("missing", compose, 1, 8, "puzzling"),
      kind("chorus", compose, 3, 8, "building"),   kind("shapes", technique, 1, 8, "steady"),
      kind("cadence", technique, 1, 8, "closing"), kind("bass", ear, 1, 8, "listening"),
      kind("odd-one", ear, 2, 8, "searching")};
  return kinds;
}

Key key(const char* text) {
  const KeyText read = *parse_key(text);
  return {read.tonic, read.mode.value_or(Mode::major)};
}

std::vector<Key> keys(const std::vector<const char*>& texts) {
  std::vector<Key> result;
  for (const char* text : texts) result.push_back(key(text));
  return result;
}

Practised had(const char* exercise, const char* in, PractiseResult result = PractiseResult::done) {
  return {exercise, key(in), 3, 7, result};
}

std::vector<Proposal> plan(const Learner& learner, std::uint64_t seed = 1) {
  return plan_lesson(learner, shelf(), levels(), seed);
}

// Common practice, no source: outwards on the circle of fifths, a sharp and a flat in turn, relative minor beside.
TEST(LessonPlan, KeysFollowTheCircleOfFifths) {
  const auto order = [](std::vector<Key> known, int of_level) {
    std::vector<std::string> names;
    while (const auto next = next_key(known, level(of_level))) {
      names.push_back(to_string(*next));
      known.push_back(*next);
    }
    return names;
  };
  EXPECT_EQ(order(keys({"C"}), 1), (std::vector<std::string>{"G major", "F major", "A minor", "E minor", "D minor"}));
  EXPECT_EQ(next_key(keys({"C", "G", "F"}), level(3)), key("D"));
  EXPECT_EQ(next_key(keys({"C", "G", "F", "D"}), level(3)), key("Bb"));
  EXPECT_EQ(next_key(keys({"A minor"}), level(2)), key("C"));  // the relative major
  EXPECT_EQ(order(keys({"C"}), 8).size(), 29U);                // all written keys but C
}

TEST(LessonPlan, KeysKnownAreNamedOrDone) {
  Learner learner;
  EXPECT_EQ(known_keys(learner), keys({"C"}));
  learner.keys = keys({"G", "D minor"});
  learner.history = {had("few", "F"), had("few", "A", PractiseResult::open), had("few", "Eb", PractiseResult::missed)};
  EXPECT_EQ(known_keys(learner), keys({"G", "D minor", "F"}));
}

TEST(LessonPlan, ANewStudentBegins) {
  const auto proposals = plan({.level = 1, .keys = {}, .likes = {}, .history = {}});
  ASSERT_EQ(proposals.size(), 3U);
  EXPECT_EQ(proposals[0].step, PlanStep::beginning);
  EXPECT_EQ(proposals[1].step, PlanStep::further);
  EXPECT_EQ(proposals[2].step, PlanStep::surprise);
  for (const Proposal& each : proposals) {
    EXPECT_EQ(each.key, key("C"));
    EXPECT_EQ(each.level, 1);
  }
}

TEST(LessonPlan, WhatRestedLongestComesAgainInAnotherKey) {
  const Learner learner{
      3, keys({"C", "G"}), {}, {had("few", "C"), had("shapes", "G"), had("few", "G"), had("bass", "C")}};
  const Proposal twist = plan(learner)[0];
  EXPECT_EQ(twist.exercise, "shapes");
  EXPECT_EQ(twist.key, key("C"));
  EXPECT_EQ(twist.reason, "Known already; this time in C major instead of G major.");
}

TEST(LessonPlan, WhatWasMissedComesAgainEasier) {
  const Learner learner{
      3, keys({"C", "G"}), {}, {had("few", "C"), had("echo", "G", PractiseResult::missed), had("bass", "C")}};
  const Proposal twist = plan(learner)[0];
  EXPECT_EQ(twist.exercise, "echo");
  EXPECT_EQ(twist.key, key("G"));
  EXPECT_EQ(twist.level, 2);
  EXPECT_EQ(twist.reason, "It was not done last time, so once more, a level easier.");
}

TEST(LessonPlan, AStepIsOneNewThing) {
  Learner learner{3, keys({"C"}), {}, {had("few", "C"), had("bass", "C")}};
  Proposal step = plan(learner)[1];
  EXPECT_FALSE(step.exercise == "few" || step.exercise == "bass");  // a new kind in the known key
  EXPECT_EQ(step.key, key("C"));
  EXPECT_EQ(step.reason, "New at level 3, in C major.");
  learner.history.push_back(had("shapes", "C"));  // the third in one key
  step = plan(learner)[1];
  EXPECT_TRUE(step.exercise == "few" || step.exercise == "bass");  // a known kind in a new key
  EXPECT_EQ(step.key, key("G"));
  EXPECT_EQ(step.level, 3);
}

TEST(LessonPlan, WhenALevelIsUsedUpTheNextOneBegins) {
  Learner learner{3, {}, {}, {}};
  for (const Key& each : written_keys()) {
    if (level(3).allows(each)) learner.keys.push_back(each);
  }
  for (const ExerciseKind& each : shelf()) {
    if (each.lowest <= 3) learner.history.push_back(had(each.id.c_str(), "C"));
  }
  const Proposal step = plan(learner)[1];
  EXPECT_EQ(step.level, 4);
  EXPECT_EQ(step.exercise, "vamp");
  EXPECT_EQ(step.reason.substr(0, 51), "All of level 3 is known; a first thing of level 4, ");
}

TEST(LessonPlan, WhatTheStudentLikesGoesFirstAmongEquals) {
  for (std::uint64_t seed = 1; seed <= 50; ++seed) {
    const Learner learner{3, keys({"C"}), {"Waltz"}, {had("shapes", "C"), had("bass", "C")}};
    const auto proposals = plan(learner, seed);
    EXPECT_TRUE(proposals[1].exercise == "echo" || proposals[2].exercise == "echo") << seed;
  }
}

ExerciseFamily family_of(const Proposal& proposal) {
  const auto same = [&](const ExerciseKind& each) { return each.id == proposal.exercise; };
  return std::find_if(shelf().begin(), shelf().end(), same)->family;
}

/// All that holds for every student, over many lives of students who accept one of the three each week.
TEST(LessonPlan, LivesOfStudents) {
  std::set<std::string> reasons;
  const std::size_t lives = std::min<std::size_t>(4 * test::repetitions(300), 300);
  for (std::uint64_t life = 1; life <= lives; ++life) {
    Learner learner{
        1 + static_cast<int>(life % 8), life % 3 == 0 ? keys({"C", "G", "E minor"}) : std::vector<Key>{}, {}, {}};
    for (std::uint64_t week = 1; week <= 40; ++week) {
      const std::uint64_t seed = 1000 * life + week;
      const auto proposals = plan(learner, seed);
      ASSERT_EQ(proposals.size(), 3U);
      std::set<std::string> kinds;
      std::set<std::string> had_kinds;
      for (const Practised& each : learner.history) had_kinds.insert(each.exercise);
      for (const Proposal& each : proposals) {
        kinds.insert(each.exercise);
        const auto found =
            std::find_if(shelf().begin(), shelf().end(), [&](const auto& k) { return k.id == each.exercise; });
        ASSERT_NE(found, shelf().end());
        EXPECT_GE(each.level, found->lowest);
        EXPECT_LE(each.level, found->highest);
        EXPECT_GE(each.level, learner.level - 1);
        EXPECT_LE(each.level, learner.level + 1);
        EXPECT_GE(each.seed, 1U);
        EXPECT_LE(each.seed, 9999U);
        EXPECT_TRUE(each.reason.ends_with('.')) << each.reason;
        const bool may_repeat = had_kinds.size() < 2 || learner.history.back().result == PractiseResult::missed;
        EXPECT_TRUE(may_repeat || each.exercise != learner.history.back().exercise) << life << " " << week;
        for (const Practised& past : learner.history) {
          EXPECT_FALSE(past.exercise == each.exercise && past.key == each.key && past.seed == each.seed);
        }
        const auto known = known_keys(learner);
        const bool is_known = std::find(known.begin(), known.end(), each.key) != known.end();
        const bool was_missed = std::any_of(learner.history.begin(), learner.history.end(), [&](const Practised& past) {
          return past.exercise == each.exercise && past.key == each.key && past.result == PractiseResult::missed;
        });
        EXPECT_TRUE(is_known || was_missed || each.key == next_key(known, level(learner.level))) << to_string(each.key);
      }
      EXPECT_EQ(kinds.size(), 3U);
      // A surprise that is known already: then all that is new is of the families of the other two.
      for (const ExerciseKind& each : shelf()) {
        const bool fresh = each.lowest <= learner.level && !had_kinds.contains(each.id) && !kinds.contains(each.id);
        if (!fresh || !had_kinds.contains(proposals[2].exercise)) continue;
        EXPECT_TRUE(each.family == family_of(proposals[0]) || each.family == family_of(proposals[1])) << each.id;
      }
      const auto again = plan(learner, seed);
      for (std::size_t i = 0; i < 3; ++i) {
        EXPECT_EQ(again[i].exercise, proposals[i].exercise);
        EXPECT_EQ(again[i].seed, proposals[i].seed);
        reasons.insert(proposals[i].reason.substr(0, 12));
      }
      const Proposal& accepted = proposals[(life + week) % 3];
      learner.history.push_back({accepted.exercise, accepted.key, accepted.level, accepted.seed,
                                 (life * week) % 5 == 0 ? PractiseResult::missed : PractiseResult::done});
      if (week % 10 == 0) learner.level = std::min(8, learner.level + 1);
    }
  }
  if (lives > 100) {
    EXPECT_GE(reasons.size(), 6U);  // every branch has been taken
  }
}

TEST(LessonPlan, WhatIsNoKindAnyMoreCountsForNothing) {
  const Learner learner{3, keys({"C"}), {}, {had("no-such-kind", "C")}};
  EXPECT_EQ(plan(learner).size(), 3U);
  EXPECT_TRUE(plan_lesson(learner, {}, levels(), 1).empty());
}

// Every proposal can be made, with the program's own kinds.
TEST(LessonPlan, TheExercisesAreThere) {
  for (int of_level = 1; of_level <= 8; ++of_level) {
    Learner learner{of_level, keys({"C", "Bb", "D dorian", "F# minor"}), {}, {}};
    for (std::uint64_t week = 1; week <= 20; ++week) {
      const auto proposals = plan_lesson(learner, exercise_kinds(), levels(), week);
      ASSERT_EQ(proposals.size(), 3U);
      for (const Proposal& each : proposals) {
        const auto exercise = exercise_of(each, levels());
        ASSERT_TRUE(exercise) << each.exercise << ": " << exercise.error().message;
        EXPECT_EQ(exercise->id, each.exercise);
        EXPECT_EQ(exercise->level, each.level);
        EXPECT_EQ(exercise->seed, each.seed);
      }
      learner.history.push_back({proposals[week % 3].exercise, proposals[week % 3].key, of_level,
                                 proposals[week % 3].seed, PractiseResult::done});
    }
  }
}

}  // namespace
}  // namespace romanesca
