// The path of skills, its spaced repetition, and the units made from it.
#include "progressions/skill_path.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <set>

#include "progressions/unit.h"

namespace romanesca {
namespace {

const SkillState& state_of(const std::vector<SkillState>& states, std::string_view id) {
  return *std::find_if(states.begin(), states.end(), [&](const SkillState& each) { return each.skill->id == id; });
}

TEST(SkillPath, EveryKindBelongsToOneSkill) {
  const auto read = read_skills(skill_texts().front());
  ASSERT_TRUE(read) << read.error().message;
  std::set<std::string> kinds;
  for (const Skill& skill : skills()) {
    for (const std::string& kind : skill.kinds) {
      EXPECT_NE(exercise_kind_named(kind), nullptr) << kind;
      EXPECT_TRUE(kinds.insert(kind).second) << kind;
    }
  }
  EXPECT_EQ(kinds.size(), exercise_kinds().size());
  for (const ExerciseKind& kind : exercise_kinds()) EXPECT_TRUE(kinds.contains(kind.id)) << kind.id;
}

// A skill's level is not below what it needs, and at its level one of its kinds can be set.
TEST(SkillPath, LevelsFitTheKinds) {
  for (const Skill& skill : skills()) {
    const bool possible = std::any_of(skill.kinds.begin(), skill.kinds.end(), [&](const std::string& kind) {
      return exercise_kind_named(kind)->lowest <= skill.level;
    });
    EXPECT_TRUE(possible) << skill.id;
    for (const std::string& need : skill.needs) {
      const auto found =
          std::find_if(skills().begin(), skills().end(), [&](const Skill& each) { return each.id == need; });
      ASSERT_NE(found, skills().end());
      EXPECT_LE(found->level, skill.level) << skill.id << " needs " << need;
    }
  }
}

// Done on days 0, 2 and 6: the gaps double. Missed: again at once.
TEST(SkillPath, RepetitionIsSpaced) {
  Learner learner;
  learner.history.push_back({"few-notes", {}, 1, {}, PractiseResult::done, 0});
  EXPECT_EQ(state_of(skill_states(learner), "few-notes").due, 2);
  EXPECT_EQ(state_of(skill_states(learner), "few-notes").stage, SkillStage::growing);
  learner.history.push_back({"leaving-space", {}, 1, {}, PractiseResult::done, 2});
  EXPECT_EQ(state_of(skill_states(learner), "few-notes").due, 6);
  learner.history.push_back({"few-notes", {}, 1, {}, PractiseResult::done, 6});
  EXPECT_EQ(state_of(skill_states(learner), "few-notes").due, 14);
  EXPECT_EQ(state_of(skill_states(learner), "few-notes").stage, SkillStage::sure);
  learner.history.push_back({"few-notes", {}, 1, {}, PractiseResult::missed, 20});
  EXPECT_EQ(state_of(skill_states(learner), "few-notes").due, 21);
  EXPECT_EQ(state_of(skill_states(learner), "few-notes").stage, SkillStage::growing);
}

// A good play-along moves on like an exercise, a bad one comes back; several on one day count as one.
TEST(SkillPath, PlayAlongsCount) {
  Learner learner;
  const auto changes = [&](PractiseResult result, int day) {
    learner.history.push_back({"play-along-changes", {}, 1, {}, result, day});
    return state_of(skill_states(learner), "first-chords");
  };
  EXPECT_EQ(changes(PractiseResult::done, 0).due, 2);
  const SkillState again = changes(PractiseResult::done, 0);
  EXPECT_EQ(again.due, 2);
  EXPECT_EQ(again.box, 1);
  EXPECT_EQ(again.times, 2);
  EXPECT_EQ(again.played, 2);
  learner.history.push_back({"steady-chords", {}, 1, {}, PractiseResult::done, 2});
  EXPECT_EQ(state_of(skill_states(learner), "first-chords").due, 6);
  EXPECT_EQ(state_of(skill_states(learner), "first-chords").played, 2);
  EXPECT_EQ(changes(PractiseResult::open, 3).due, 6) << "between good and bad";
  EXPECT_EQ(changes(PractiseResult::missed, 6).due, 7);
  EXPECT_EQ(changes(PractiseResult::done, 6).due, 8) << "better on the same day";
}

TEST(SkillPath, NothingNewWithoutItsGround) {
  Learner learner;
  learner.level = 2;
  const auto fresh = skill_states(learner);
  EXPECT_EQ(state_of(fresh, "beat").stage, SkillStage::next);
  EXPECT_EQ(state_of(fresh, "home").stage, SkillStage::later);
  EXPECT_EQ(state_of(fresh, "sevenths").stage, SkillStage::later);
  learner.history.push_back({"bass-up-or-down", {}, 1, {}, PractiseResult::open, 1});
  EXPECT_EQ(state_of(skill_states(learner), "home").stage, SkillStage::later);  // given, not done
  learner.history.back().result = PractiseResult::done;
  EXPECT_EQ(state_of(skill_states(learner), "home").stage, SkillStage::next);
}

TEST(SkillPath, FaultsAreNamed) {
  const auto below =
      read_skills({"skills", "[a]\nname=\"a\"\nstrand=\"ear\"\nlevel=1\nneeds=[\"b\"]\nkinds=[\"few-notes\"]\n"});
  ASSERT_FALSE(below);
  EXPECT_EQ(below.error().message, "a: needs \"b\", which does not stand above it");
  const auto twice =
      read_skills({"skills",
                   "[a]\nname=\"a\"\nstrand=\"ear\"\nlevel=1\nneeds=[]\nkinds=[\"x\"]\nplayed=[\"z\"]\n"
                   "[b]\nname=\"b\"\nstrand=\"ear\"\nlevel=1\nneeds=[]\nkinds=[\"y\"]\nplayed=[\"z\"]\n"});
  ASSERT_FALSE(twice);
  EXPECT_EQ(twice.error().message, "b: z belongs to a already");
  const auto strand = read_skills({"skills", "[a]\nname=\"a\"\nstrand=\"feet\"\nlevel=1\nneeds=[]\nkinds=[\"x\"]\n"});
  ASSERT_FALSE(strand);
  EXPECT_EQ(strand.error().message, "a: strand must be rhythm, ear, hands, harmony or form");
}

TEST(Units, FaultsAreNamed) {
  const std::string head = "[a]\ntitle=\"A\"\nwhom=\"For you\"\nsays=\"B.\"\nlevel=1\n";
  const std::string learnt = "learnt=[\"sing\", \"play\"]\n";
  std::string weeks = "weeks=[";
  for (int i = 0; i < 6; ++i) weeks += "\"Beats | C major: few-notes\", ";
  EXPECT_TRUE(read_units({"units", head + learnt + weeks + "]\n"}));
  const auto nothing = read_units({"units", head + weeks + "]\n"});
  ASSERT_FALSE(nothing);
  EXPECT_EQ(nothing.error().message, "a: learnt must be a list of two to six");
  for (const char* week : {"C major: few-notes", " | C major: few-notes", "Beats | C major: unknown"}) {
    const auto wrong = read_units({"units", head + learnt + weeks + "\"" + week + "\"]\n"});
    ASSERT_FALSE(wrong) << week;
    EXPECT_EQ(wrong.error().message, "a: cannot read the week \"" + std::string(week) + "\"");
  }
}

// Six to eight weeks, all sheets made and right, no kind twice, nothing before what its skill needs.
TEST(Units, AreTermsThatCanBePrinted) {
  EXPECT_EQ(units().size(), 3U);
  for (const Unit& unit : units()) {
    const auto sheets = unit_sheets(unit, levels(), 1);
    ASSERT_TRUE(sheets) << unit.id << ": " << sheets.error().message;
    EXPECT_EQ(weeks_of_sheets(unit).size(), sheets->size());
    EXPECT_GE(unit.weeks.size(), 6U);
    EXPECT_LE(unit.weeks.size(), 8U);
    std::set<std::string> kinds, known;
    std::set<ExerciseFamily> families;
    for (const Exercise& sheet : *sheets) {
      EXPECT_TRUE(kinds.insert(sheet.id).second) << unit.id << " " << sheet.id;
      EXPECT_TRUE(broken_rules(sheet, level(unit.level)).empty()) << unit.id << " " << sheet.id;
      EXPECT_TRUE(broken_music_rules(sheet).empty()) << unit.id << " " << sheet.id;
      families.insert(sheet.family);
      const Skill* skill = skill_of_kind(sheet.id);
      ASSERT_NE(skill, nullptr);
      for (const std::string& need : skill->needs)
        EXPECT_TRUE(known.contains(need)) << unit.id << ": " << sheet.id << " before " << need;
      known.insert(skill->id);
    }
    EXPECT_GE(families.size(), 4U) << unit.id;
  }
}

}  // namespace
}  // namespace romanesca
