// The answer keys against the music itself: what the chords and the sounding notes say, not what the builder said.
#include <gtest/gtest.h>

#include <map>

#include "progressions/exercise.h"

namespace romanesca {
namespace {

/// Thirty exercises of a kind over its levels and a few keys.
std::vector<Exercise> many(const std::string& id) {
  std::vector<Exercise> all;
  const ExerciseKind& kind = *exercise_kind_named(id);
  for (std::uint64_t seed = 0; seed < 30; ++seed) {
    ExerciseRequest request;
    request.key = {PitchClass(static_cast<int>(seed % 7) - 3), seed % 2 == 0 ? Mode::major : Mode::minor};
    request.level = level(kind.lowest + static_cast<int>(seed) % (kind.highest - kind.lowest + 1));
    request.id = id;
    request.seed = seed;
    request.choices = 1;
    all.push_back(set_exercises(request)->front());
  }
  return all;
}

std::vector<Chord> chords_of(const Exercise& exercise) {
  std::vector<Chord> chords;
  for (const TimedChord& timed : exercise.timeline().chords) chords.push_back(*timed.chord);
  return chords;
}

TEST(AnswerKey, RootsAndQualities) {
  for (const Exercise& exercise : many("sing-the-root")) {
    const auto chords = chords_of(exercise);
    ASSERT_EQ(chords.size(), exercise.answer->solution.size());
    for (std::size_t i = 0; i < chords.size(); ++i) {
      EXPECT_EQ(exercise.answer->solution[i].front(), to_string(chords[i].root));
    }
  }
  for (const Exercise& exercise : many("major-or-minor")) {
    const auto chords = chords_of(exercise);
    for (std::size_t i = 0; i < chords.size(); ++i) {
      const bool minor_third = chords[i].type.has(intervals::minor_third);
      EXPECT_EQ(exercise.answer->solution[i].front(), minor_third ? "minor" : "major");
    }
  }
}

// The lowest sounding note of each moment, from the notes that are played.
TEST(AnswerKey, TheBassAsItSounds) {
  for (const Exercise& exercise : many("bass-up-or-down")) {
    std::map<std::int64_t, int> lowest;
    for (const NoteEvent& event : exercise.heard) {
      ASSERT_EQ(event.start.denominator(), 1);
      const auto [place, is_new] = lowest.try_emplace(event.start.numerator(), event.midi);
      if (!is_new) place->second = std::min<int>(place->second, event.midi);
    }
    ASSERT_EQ(lowest.size(), exercise.answer->solution.size() + 1);
    auto before = lowest.begin();
    auto here = std::next(before);
    for (const auto& place : exercise.answer->solution) {
      EXPECT_EQ(place.front(), here->second > before->second ? "up" : here->second < before->second ? "down" : "same");
      ++before;
      ++here;
    }
  }
}

// The chord whose number stands in the title.
TEST(AnswerKey, TheChordAskedFor) {
  for (const Exercise& exercise : many("which-chord")) {
    const auto number = static_cast<std::size_t>(exercise.title[exercise.title.find_first_of("1234")] - '0');
    EXPECT_EQ(exercise.answer->solution.front().front(), to_string(chords_of(exercise)[number - 1])) << exercise.title;
  }
}

TEST(AnswerKey, PairsAndHomes) {
  const auto rows = [](const Exercise& exercise) {
    std::vector<std::vector<Chord>> result(exercise.progression.sections.size());
    for (const TimedChord& timed : exercise.timeline().chords) result[timed.section].push_back(*timed.chord);
    return result;
  };
  for (const Exercise& exercise : many("same-or-different")) {
    const auto all = rows(exercise);
    ASSERT_EQ(all.size(), 2 * exercise.answer->solution.size());
    for (std::size_t i = 0; i < all.size(); i += 2) {
      EXPECT_EQ(exercise.answer->solution[i / 2].front(), all[i] == all[i + 1] ? "same" : "different");
    }
  }
  for (const Exercise& exercise : many("where-is-home")) {
    const auto all = rows(exercise);
    for (std::size_t i = 0; i < all.size(); ++i) {
      std::vector<std::string> homes;
      for (std::size_t n = 0; n < all[i].size(); ++n) {
        if (all[i][n].root == exercise.key.tonic) homes.push_back(std::to_string(n + 1));
      }
      EXPECT_EQ(exercise.answer->solution[i], homes);
    }
  }
}

// Every chord moves by the same number of piano keys and keeps its kind; in round-the-circle by a fifth.
TEST(AnswerKey, TransposedChords) {
  for (const std::string id : {"into-another-key", "round-the-circle"}) {
    for (const Exercise& exercise : many(id)) {
      const auto chords = chords_of(exercise);
      int moved = -1;
      for (std::size_t i = 0; i < chords.size(); ++i) {
        const Chord there = *parse_chord(exercise.answer->solution[i].front());
        const int up = (there.root.semitone() - chords[i].root.semitone() + 12) % 12;
        if (moved < 0) moved = up;
        EXPECT_EQ(up, moved);
        EXPECT_EQ(there.type, chords[i].type);
      }
      EXPECT_NE(moved, 0);
      if (id == "round-the-circle") {
        EXPECT_TRUE(moved == 7 || moved == 5) << moved;
      }
    }
  }
}

// Each chord goes to the same degree of the parallel key, with the third and fifth that its scale has.
TEST(AnswerKey, TheOtherMode) {
  for (const Exercise& exercise : many("change-the-mode")) {
    const bool minor = is_minorish(exercise.key.mode);
    for (const auto& place : exercise.answer->solution) {
      const Chord chord = *parse_chord(place.front());
      const Key other = simplest_spelling({exercise.key.tonic, minor ? Mode::major : Mode::minor});
      for (const PitchClass tone : chord.tones()) EXPECT_TRUE(other.contains(tone)) << to_string(chord);
    }
  }
}

}  // namespace
}  // namespace romanesca
