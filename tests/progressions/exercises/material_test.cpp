#include "progressions/exercises/material.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <set>

#include "progressions/exercises/exercise_draft.h"

namespace romanesca {
namespace {

TEST(ExerciseMaterial, EveryFileIsSound) {
  std::size_t count = 0;
  for (const EmbeddedText& file : exercise_kind_texts()) {
    const auto kinds = read_exercise_kinds(file);
    ASSERT_TRUE(kinds) << file.name << ":" << kinds.error().place.line << ": " << kinds.error().message;
    count += kinds->size();
  }
  EXPECT_EQ(count, exercise_kinds().size());
  EXPECT_GE(count, 25U);
  const auto rhythms = read_exercise_rhythms(exercise_rhythm_texts().front());
  ASSERT_TRUE(rhythms) << rhythms.error().place.line << ": " << rhythms.error().message;
  const auto backings = read_exercise_backings(exercise_backing_texts().front());
  ASSERT_TRUE(backings) << backings.error().place.line << ": " << backings.error().message;
  const auto words = read_explained_words(exercise_word_texts().front());
  ASSERT_TRUE(words) << words.error().place.line << ": " << words.error().message;
}

// Every kind has its builder and every builder its kind; names and texts are there once.
TEST(ExerciseMaterial, KindsAndBuildersBelongTogether) {
  std::set<std::string> ids, titles, goals;
  for (const ExerciseKind& kind : exercise_kinds()) {
    EXPECT_TRUE(ids.insert(kind.id).second) << kind.id;
    EXPECT_TRUE(titles.insert(kind.title).second) << kind.id;
    EXPECT_TRUE(goals.insert(kind.goal).second) << kind.id;
    EXPECT_EQ(std::set(kind.twists.begin(), kind.twists.end()).size(), kind.twists.size()) << kind.id;
    for (const std::string& style : kind.backings) {
      EXPECT_TRUE(std::any_of(exercise_backings().begin(), exercise_backings().end(),
                              [&](const ExerciseBacking& backing) { return backing.style == style; }))
          << kind.id << " " << style;
    }
  }
  std::set<std::string> built;
  for (const auto& builders : all_builders()) {
    for (const ExerciseBuilder& builder : builders) EXPECT_TRUE(built.emplace(builder.id).second) << builder.id;
  }
  EXPECT_EQ(built, ids);
}

// Three kinds and three characters for every family and level.
TEST(ExerciseMaterial, EnoughToChooseFrom) {
  for (std::size_t family = 0; family < exercise_family_count; ++family) {
    for (int number = 1; number <= 8; ++number) {
      std::set<std::string> characters;
      for (const ExerciseKind& kind : exercise_kinds()) {
        const bool here =
            static_cast<std::size_t>(kind.family) == family && kind.lowest <= number && number <= kind.highest;
        if (here) characters.insert(kind.character);
      }
      EXPECT_GE(characters.size(), 3U) << to_string(static_cast<ExerciseFamily>(family)) << " " << number;
    }
  }
}

TEST(ExerciseMaterial, RhythmsFillTheirBarsAndDiffer) {
  for (const ExerciseRhythm& a : exercise_rhythms()) {
    EXPECT_LE(a.notes.back().start + a.notes.back().length, a.meter.bar_length()) << a.id;
    for (const ExerciseRhythm& b : exercise_rhythms()) {
      EXPECT_TRUE(a.id == b.id || a.meter != b.meter || a.notes != b.notes) << a.id << " is " << b.id;
    }
  }
}

TEST(ExerciseMaterial, RhythmSigns) {
  const auto read = read_exercise_rhythms({"rhythms", "[r]\nmeter = \"4/4\"\nlevel = 1\nsteps = \"x--x .-x-\"\n"});
  ASSERT_FALSE(read);  // silence cannot sound on
  EXPECT_EQ(read.error().message, "r: steps must hold only x, - and ., and begin with x or .");
  const auto good = read_exercise_rhythms({"rhythms", "[r]\nmeter = \"4/4\"\nlevel = 1\nsteps = \"x--x .xx-\"\n"});
  ASSERT_TRUE(good);
  const std::vector<RhythmNote> notes{
      {Beats(0), Beats(3, 2)}, {Beats(3, 2), Beats(1, 2)}, {Beats(5, 2), Beats(1, 2)}, {Beats(3), Beats(1)}};
  EXPECT_EQ(good->front().notes, notes);
}

TEST(ExerciseMaterial, FaultsHaveAPlace) {
  const auto kind = read_exercise_kinds({"ear", "[x]\nlevels = [1, 9]\n"});
  ASSERT_FALSE(kind);
  EXPECT_EQ(kind.error().message, "x: levels must be two numbers from 1 to 8");
  EXPECT_EQ(kind.error().place.line, 1);
  EXPECT_EQ(read_exercise_kinds({"yoga", "[x]\n"}).error().message,
            "x: the file's name does not begin with a family of exercises");
  EXPECT_EQ(read_exercise_backings({"backings", "[b]\nmeter = \"4/4\"\nlevel = 1\ntempo = [90, 60]\n"}).error().message,
            "b: tempo must be two numbers from 20 to 400");
  EXPECT_EQ(read_explained_words({"words", "\n[w]\n"}).error().message, "w: means is missing");
}

TEST(ExerciseMaterial, WordsAreFoundWhole) {
  const auto found = [](std::string_view text) {
    std::string words;
    for (const ExplainedWord& word : words_to_explain(text)) words += word.word + " ";
    return words;
  };
  EXPECT_EQ(found("Play two Chords."), "chord ");
  EXPECT_EQ(found("accordion, chordal, strings"), "");
  EXPECT_EQ(found("The chord number, please"), "chord chord number ");
}

}  // namespace
}  // namespace romanesca
