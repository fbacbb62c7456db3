#include "progressions/exercise.h"

#include <gtest/gtest.h>

#include <set>

#include "progressions/exercises/material.h"
#include "tests/progressions/exercise_content.h"
#include "tests/sweep.h"

namespace romanesca {
namespace {

ExerciseRequest request_for(const Key& key, int level_number, std::uint64_t seed = 1) {
  ExerciseRequest request;
  request.key = key;
  request.level = level(level_number);
  request.seed = seed;
  return request;
}

Exercise one(const ExerciseKind& kind, const Key& key, int level_number, std::uint64_t seed) {
  ExerciseRequest request = request_for(key, level_number, seed);
  request.id = kind.id;
  request.choices = 1;
  const auto set = set_exercises(request);
  EXPECT_TRUE(set) << set.error().message;
  return set->front();
}

/// The twelve major and twelve minor keys as they are mostly written, and a few church modes.
std::vector<Key> all_keys() {
  std::vector<Key> keys;
  for (int fifths = -5; fifths <= 6; ++fifths) {
    keys.push_back({PitchClass(fifths), Mode::major});
    keys.push_back({PitchClass(fifths + 3), Mode::minor});
  }
  for (const Mode mode : {Mode::dorian, Mode::phrygian, Mode::lydian, Mode::mixolydian}) {
    for (const int fifths : {-3, 0, 2, 4}) {
      if (const Key key{PitchClass(fifths), mode}; key.can_be_written()) keys.push_back(key);
    }
  }
  return keys;
}

std::string all_of(const std::vector<std::string>& lines) {
  std::string text;
  for (const std::string& line : lines) text += line + "\n";
  return text;
}

TEST(Exercises, EveryKindAtEveryLevelInEveryKey) {
  const auto keys = all_keys();
  std::size_t turn = 0;
  for (const ExerciseKind& kind : exercise_kinds()) {
    for (int number = kind.lowest; number <= kind.highest; ++number) {
      for (const Key& key : test::tried(keys, turn++)) {
        const Exercise exercise = one(kind, key, number, 7);
        EXPECT_EQ(exercise.key.tonic, key.tonic);
        const auto broken = broken_rules(exercise, level(number));
        ASSERT_TRUE(broken.empty()) << kind.id << " in " << to_string(key) << ", level " << number << "\n"
                                    << all_of(broken);
      }
    }
  }
}

// All ten thousand seeds are run by build/tests/exercise_seeds, which .ci/run calls.
TEST(Exercises, ManySeedsOfEveryKindKeepTheRules) {
  const std::uint64_t seeds = test::repetitions(200);
  const auto keys = all_keys();
  for (const ExerciseKind& kind : exercise_kinds()) {
    for (std::uint64_t seed = 0; seed < seeds; ++seed) {
      const int number = kind.lowest + static_cast<int>(seed) % (kind.highest - kind.lowest + 1);
      const Exercise exercise = one(kind, keys[seed * 7 % keys.size()], number, seed);
      const auto broken = broken_rules(exercise, level(number));
      ASSERT_TRUE(broken.empty()) << kind.id << ", seed " << seed << "\n" << all_of(broken);
    }
  }
}

// Within one kind and level, fifty seeds in a row: as music and not only in tempo.
TEST(Exercises, FiftySeedsInARowDiffer) {
  struct Place {
    const ExerciseKind* kind;
    int level;
    Key key;
  };
  std::vector<Place> places;
  for (const ExerciseKind& kind : exercise_kinds()) {
    for (int number = kind.lowest; number <= kind.highest; ++number) {
      places.push_back({&kind, number, {PitchClass(-3), Mode::major}});
      places.push_back({&kind, number, {PitchClass(3), Mode::minor}});
    }
  }
  for (const auto& [kind, number, key] : test::tried(places)) {
    std::set<std::string> contents;
    for (std::uint64_t seed = 100; seed < 150; ++seed) contents.insert(test::content_of(one(*kind, key, number, seed)));
    EXPECT_EQ(contents.size(), 50U) << kind->id << ", level " << number << " in " << to_string(key);
  }
}

TEST(Exercises, ThreeChoicesOfDifferentCharacter) {
  for (std::size_t family = 0; family <= exercise_family_count; ++family) {
    for (int number = 1; number <= 8; ++number) {
      for (std::uint64_t seed = 0; seed < test::repetitions(50); ++seed) {
        ExerciseRequest request = request_for({PitchClass(-3), Mode::major}, number, seed);
        if (family < exercise_family_count) request.family = static_cast<ExerciseFamily>(family);
        const auto set = set_exercises(request);
        ASSERT_TRUE(set);
        ASSERT_EQ(set->size(), 3U);
        std::set<std::string> ids, characters, contents;
        for (const Exercise& exercise : *set) {
          ids.insert(exercise.id);
          characters.insert(exercise.character);
          contents.insert(test::content_of(exercise));
          if (request.family) {
            EXPECT_EQ(exercise.family, *request.family);
          }
        }
        EXPECT_EQ(ids.size(), 3U) << "family " << family << ", level " << number;
        EXPECT_EQ(characters.size(), 3U) << "family " << family << ", level " << number;
        EXPECT_EQ(contents.size(), 3U);
      }
    }
  }
}

}  // namespace
}  // namespace romanesca
