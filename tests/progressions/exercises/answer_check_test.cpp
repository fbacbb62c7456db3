#include <gtest/gtest.h>

#include <algorithm>

#include "progressions/exercise.h"
#include "tests/progressions/exercise_content.h"
#include "tests/sweep.h"

namespace romanesca {
namespace {

Exercise one(const std::string& id, const Key& key, int number, std::uint64_t seed = 1) {
  ExerciseRequest request;
  request.key = key;
  request.level = level(number);
  request.id = id;
  request.seed = seed;
  request.choices = 1;
  return set_exercises(request)->front();
}

std::string example_of(const ExerciseAnswer& answer, std::size_t wrong_place, const std::string& wrong) {
  std::string text;
  for (std::size_t i = 0; i < answer.solution.size(); ++i) {
    text += (i == 0 ? "" : " ") + (i == wrong_place ? wrong : answer.solution[i].front());
  }
  return text;
}

/// A word that is possible and not right at the place.
std::string wrong_word(const ExerciseAnswer& answer, std::size_t place) {
  for (const std::string& word : answer.words) {
    const auto& right = answer.solution[place];
    if (std::find(right.begin(), right.end(), word) == right.end()) return word;
  }
  return "F#";  // for names, where it is in none of the keys asked
}

const Key c_major{PitchClass(0), Mode::major};

// Every kind with an answer, up to fifty seeds: each place in turn answered wrongly is refused, and so are a part and a
// surplus.
TEST(AnswerCheck, RefusesWrongAnswersOfEveryKind) {
  const std::size_t seeds = test::repetitions(50);
  std::size_t asked = 0;
  for (const ExerciseKind& kind : exercise_kinds()) {
    for (std::uint64_t seed = 0; seed < seeds; ++seed) {
      const Exercise exercise = one(kind.id, c_major, kind.lowest, seed);
      // Rhythms are checked by their counts: EarKinds.ARhythmIsCheckedBarByBar.
      if (!exercise.answer || exercise.answer->rule == AnswerRule::rhythm) continue;
      ++asked;
      const ExerciseAnswer& answer = *exercise.answer;
      const std::string right = example_of(answer, answer.solution.size(), "");
      for (std::size_t place = 0; place < answer.solution.size(); ++place) {
        const bool words = answer.rule == AnswerRule::words;
        // F# diminished has no part in any answer here; over a melody or at an end it is wrong as well.
        const std::string wrong = example_of(answer, place, words ? wrong_word(answer, place) : "F#dim");
        const auto checked = check_answer(exercise, wrong);
        ASSERT_TRUE(checked) << kind.id << " " << wrong << ": " << checked.error().message;
        // In a new harmony any chord with the note will do; the diminished one may have it.
        if (answer.rule == AnswerRule::new_harmony) continue;
        EXPECT_FALSE(checked->right) << kind.id << ", seed " << seed << ": " << wrong << " for " << right;
        EXPECT_FALSE(checked->not_yet.empty());
        EXPECT_FALSE(checked->encouragement.empty());
      }
      const auto surplus = check_answer(exercise, right + " " + answer.solution.front().front());
      EXPECT_FALSE(surplus && surplus->right) << kind.id << ": " << right << " and one more";
    }
  }
  EXPECT_GT(asked, 15 * seeds);
}

TEST(AnswerCheck, NewHarmonyNeedsANewChordAndTheNote) {
  const Exercise exercise = one("new-harmony", c_major, 4);
  std::string old;
  for (const TimedChord& timed : exercise.timeline().chords) old += to_string(*timed.chord) + " ";
  EXPECT_FALSE(check_answer(exercise, old)->right);
  // A whole tone above the melody's note stands a major chord without it.
  std::string foreign;
  for (const MelodyNote& note : exercise.melody)
    foreign += to_string(note.pitch.name() + intervals::major_second) + " ";
  const auto checked = check_answer(exercise, foreign);
  EXPECT_EQ(checked->not_yet.size(), exercise.melody.size());
}

TEST(AnswerCheck, OtherWaysOfWritingTheSame) {
  const Exercise words = one("major-or-minor", c_major, 1);
  std::string text;
  for (const auto& place : words.answer->solution) text += (place.front() == "major" ? "MAJOR, " : "Minor, ");
  EXPECT_TRUE(check_answer(words, text)->right);

  const Exercise roots = one("sing-the-root", {PitchClass(-3), Mode::major}, 2);
  std::string sharps;
  for (const auto& place : roots.answer->solution) {
    sharps += (place.front() == "Eb"   ? "D#"
               : place.front() == "Bb" ? "a#"
               : place.front() == "Ab" ? "G#"
                                       : place.front()) +
              " ";
  }
  EXPECT_TRUE(check_answer(roots, sharps)->right) << sharps;
}

TEST(AnswerCheck, EndingsByTheirCadence) {
  for (std::uint64_t seed = 0; seed < 30; ++seed) {
    const Exercise exercise = one("your-own-ending", c_major, 2, seed);
    const auto full = check_answer(exercise, "G C");
    const auto soft = check_answer(exercise, "F C");
    const auto half = check_answer(exercise, "| F | G |");
    EXPECT_EQ(full->right, exercise.answer->cadence == CadenceKind::authentic);
    EXPECT_EQ(soft->right, exercise.answer->cadence == CadenceKind::plagal);
    EXPECT_EQ(half->right, exercise.answer->cadence == CadenceKind::half);
  }
}

TEST(AnswerCheck, NumeralsCountAsChords) {
  for (std::uint64_t seed = 0; seed < 30; ++seed) {
    const Exercise exercise = one("your-own-ending", c_major, 2, seed);
    if (exercise.answer->cadence == CadenceKind::authentic) {
      EXPECT_TRUE(check_answer(exercise, "V I")->right);
    }
  }
}

TEST(AnswerCheck, WhatCannotBeRead) {
  const auto chords = check_answer(one("finish-the-phrase", c_major, 1), "H C");
  ASSERT_FALSE(chords);
  EXPECT_EQ(chords.error().place, (TextPlace{1, 1, 1}));
  const auto words = check_answer(one("major-or-minor", c_major, 1), "major happy");
  ASSERT_FALSE(words);
  EXPECT_EQ(words.error().message, "cannot read \"happy\"");
  EXPECT_EQ(words.error().hint, "the words are major and minor");
  EXPECT_FALSE(check_answer(one("major-or-minor", c_major, 1), " , "));
  EXPECT_FALSE(check_answer(one("finish-the-phrase", c_major, 1), ""));
  const auto unscored = check_answer(one("few-notes", c_major, 1), "C");
  ASSERT_FALSE(unscored);
  EXPECT_EQ(unscored.error().message, "few-notes has no right or wrong answer");
}

// Anything may be typed; nothing may fall over.
TEST(AnswerCheck, StrangeTexts) {
  const char* strange[] = {"\xFF\xFE",
                           "|||",
                           "% %",
                           "/",
                           "C/",
                           "N.C.",
                           "1 2 3 4",
                           "IVIVIV",
                           "\t\n",
                           "C:D",
                           "key: C",
                           "[x]\nC",
                           "aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa",
                           "up\0down",
                           "♭♯",
                           "Am7 Am7 Am7 Am7 Am7 Am7"};
  for (const ExerciseKind& kind : exercise_kinds()) {
    const Exercise exercise = one(kind.id, c_major, kind.highest);
    for (const char* text : strange) {
      const auto checked = check_answer(exercise, text);
      if (!checked) {
        EXPECT_FALSE(checked.error().message.empty());
      }
    }
  }
}

}  // namespace
}  // namespace romanesca
