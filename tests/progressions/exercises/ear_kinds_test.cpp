// The newer ear exercises: what is heard says what the answer key says, judged from the notes that sound; what was
// confused is told and asked again.
#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <set>

#include "progressions/exercise.h"
#include "progressions/exercises/closing.h"
#include "progressions/exercises/counts.h"
#include "progressions/exercises/level_step.h"

namespace romanesca {
namespace {

Exercise heard_sheet(const std::string& id, int number, std::uint64_t seed, std::vector<std::string> confused = {}) {
  ExerciseRequest request;
  request.key = {PitchClass(static_cast<int>(seed % 5) - 2), seed % 3 == 2 ? Mode::minor : Mode::major};
  request.level = level(number);
  request.id = id;
  request.seed = seed;
  request.choices = 1;
  request.confused = std::move(confused);
  return set_exercises(request)->front();
}

/// The notes by the moment at which they begin, each moment from low to high.
std::vector<std::vector<int>> moments(const Exercise& exercise) {
  std::vector<std::pair<Beats, std::vector<int>>> found;
  for (const NoteEvent& event : exercise.heard) {
    if (found.empty() || found.back().first != event.start) found.push_back({event.start, {}});
    found.back().second.push_back(event.midi);
  }
  std::vector<std::vector<int>> result;
  for (auto& [start, notes] : found) {
    std::sort(notes.begin(), notes.end());
    result.push_back(std::move(notes));
  }
  return result;
}

TEST(EarKinds, IntervalsAreAsWideAsTheirNames) {
  for (int number = 1; number <= 8; ++number) {
    for (std::uint64_t seed = 0; seed < 12; ++seed) {
      const Exercise exercise = heard_sheet("intervals", number, seed);
      const auto all = moments(exercise);
      const std::size_t each = number >= 7 ? 3 : 2;
      ASSERT_EQ(all.size(), each * exercise.answer->solution.size());
      for (std::size_t i = 0; i < exercise.answer->solution.size(); ++i) {
        const int wide = std::abs(all[each * i + 1].front() - all[each * i].front());
        EXPECT_EQ(wide, parse_interval(exercise.answer->solution[i].front())->semitones()) << "level " << number;
      }
    }
  }
}

TEST(EarKinds, DegreesStandOverTheirTonic) {
  constexpr std::array<int, 7> major{0, 2, 4, 5, 7, 9, 11};
  for (std::uint64_t seed = 0; seed < 30; ++seed) {
    const Exercise exercise = heard_sheet("scale-degrees", 1 + static_cast<int>(seed % 8), seed);
    const bool minor = is_minorish(exercise.key.mode);
    // The note asked for is the last one before each silence: a moment of one note.
    std::vector<int> asked;
    for (const auto& notes : moments(exercise)) {
      if (notes.size() == 1) asked.push_back(notes.front());
    }
    ASSERT_EQ(asked.size(), exercise.answer->solution.size());
    for (std::size_t i = 0; i < asked.size(); ++i) {
      const std::string& degree = exercise.answer->solution[i].front();
      int above = major[static_cast<std::size_t>(degree.back() - '1')];
      if (minor && (degree.back() == '3' || degree.back() == '6' || degree.back() == '7')) --above;
      if (degree.front() == 'b') --above;
      if (degree.front() == '#') ++above;
      EXPECT_EQ((asked[i] - exercise.key.tonic.semitone() + 120) % 12, above) << degree;
    }
  }
}

TEST(EarKinds, KindsOfChordsAreBuiltOfTheirTones) {
  for (std::uint64_t seed = 0; seed < 30; ++seed) {
    const Exercise exercise = heard_sheet("chord-kinds", 3 + static_cast<int>(seed % 6), seed);
    std::vector<std::vector<int>> chords;
    for (const auto& notes : moments(exercise)) {
      if (notes.size() > 2) chords.push_back(notes);
    }
    ASSERT_EQ(chords.size(), exercise.answer->solution.size());
    for (std::size_t i = 0; i < chords.size(); ++i) {
      const std::string& name = exercise.answer->solution[i].front();
      const auto chord = parse_chord(name == "major" ? "C" : name == "minor" ? "Cm" : "C" + name);
      std::set<int> wanted, found;
      for (const PitchClass tone : chord->tones()) wanted.insert(tone.semitone());
      for (const int note : chords[i]) found.insert((note - chords[i].front()) % 12);
      EXPECT_EQ(found, wanted) << name;
    }
  }
}

// Root position has the root lowest, the first inversion the third, and so on: from the stack of thirds.
TEST(EarKinds, InversionsStandOnTheirTone) {
  for (std::uint64_t seed = 0; seed < 30; ++seed) {
    const Exercise exercise = heard_sheet("inversions-by-ear", 3 + static_cast<int>(seed % 6), seed);
    std::vector<std::vector<int>> chords;
    for (const auto& notes : moments(exercise)) {
      if (notes.size() > 2) chords.push_back(notes);
    }
    ASSERT_EQ(chords.size(), exercise.answer->solution.size());
    const std::map<std::string, std::size_t> places{{"root", 0}, {"first", 1}, {"second", 2}, {"third", 3}};
    for (std::size_t i = 0; i < chords.size(); ++i) {
      // Of the rotations one is a stack of thirds over the root.
      std::optional<std::size_t> turns;
      for (std::size_t turn = 0; turn < chords[i].size(); ++turn) {
        std::vector<int> stack = chords[i];
        for (std::size_t n = 0; n < turn; ++n) {
          stack.insert(stack.begin(), stack.back() - 12);
          stack.pop_back();
        }
        bool thirds = true;
        for (std::size_t n = 1; n < stack.size(); ++n)
          thirds = thirds && (stack[n] - stack[n - 1] == 3 || stack[n] - stack[n - 1] == 4);
        if (thirds) turns = turn;
      }
      ASSERT_TRUE(turns.has_value());
      EXPECT_EQ(*turns, places.at(exercise.answer->solution[i].front()));
    }
  }
}

TEST(EarKinds, TheLastCadenceIsTheOneNamed) {
  for (std::uint64_t seed = 0; seed < 40; ++seed) {
    const Exercise exercise = heard_sheet("cadences-by-ear", 2 + static_cast<int>(seed % 7), seed);
    std::vector<Chord> chords;
    for (const TimedChord& timed : exercise.timeline().chords) chords.push_back(*timed.chord);
    const auto ending = ending_of(chords, exercise.key);
    ASSERT_TRUE(ending.has_value());
    EXPECT_NE(cadence_term(*ending).find(exercise.answer->solution.back().front()), std::string_view::npos);
  }
}

TEST(EarKinds, BassAndLoopAsTheirChords) {
  for (std::uint64_t seed = 0; seed < 30; ++seed) {
    const Exercise bass = heard_sheet("bass-line-by-ear", 4 + static_cast<int>(seed % 5), seed);
    const auto all = moments(bass);
    ASSERT_EQ(all.size(), 2 * bass.answer->solution.size());
    for (std::size_t i = 0; i < bass.answer->solution.size(); ++i) {
      EXPECT_EQ(all[i].front() % 12, parse_pitch_class(bass.answer->solution[i].front())->semitone());
    }
    const Exercise loop = heard_sheet("loop-by-ear", 2 + static_cast<int>(seed % 6), seed);
    std::set<std::string> different;
    for (const auto& place : loop.answer->solution) different.insert(place.front());
    EXPECT_EQ(different.size(), static_cast<std::size_t>(level_step(loop.level).loop)) << loop.numerals;
  }
}

// The changed note: the two versions of a pair differ in one place, the one of the answer.
TEST(EarKinds, TheChangeIsWhereTheKeySays) {
  for (std::uint64_t seed = 0; seed < 30; ++seed) {
    const Exercise exercise = heard_sheet("spot-the-change", 1 + static_cast<int>(seed % 8), seed);
    std::vector<int> notes;
    for (const auto& moment : moments(exercise)) {
      if (moment.size() == 1) notes.push_back(moment.front());
    }
    const auto tell = check_answer(exercise, "2 2 2 2 2 2");
    ASSERT_FALSE(notes.empty());
    for (const auto& place : exercise.answer->solution) EXPECT_NE(place.front(), "1");
    EXPECT_TRUE(tell);
  }
}

TEST(EarKinds, MelodiesHaveTheNotesOfTheKey) {
  for (const std::string id : {"melodic-dictation", "melodic-echo"}) {
    for (std::uint64_t seed = 0; seed < 30; ++seed) {
      const Exercise exercise = heard_sheet(id, 2 + static_cast<int>(seed % 7), seed);
      ASSERT_FALSE(exercise.models.empty());
      EXPECT_TRUE(exercise.models_are_answers);
      for (const ExerciseTune& tune : exercise.models) {
        for (const MelodyNote& note : tune.notes) EXPECT_TRUE(exercise.key.contains(note.pitch.name()));
      }
      if (id == "melodic-dictation") {
        ASSERT_EQ(exercise.models.front().notes.size(), exercise.answer->solution.size());
        EXPECT_EQ(exercise.models.front().notes.back().pitch.name(), exercise.key.tonic);
      }
    }
  }
}

TEST(EarKinds, CountsAreReadAsTheyAreWritten) {
  const Meter four{4, 4};
  const std::vector<RhythmNote> rhythm{{Beats(0), Beats(1)},
                                       {Beats(3, 2), Beats(1, 2)},
                                       {Beats(2), Beats(2)},
                                       {Beats(9, 2), Beats(1, 2)},
                                       {Beats(21, 4), Beats(3, 4)}};
  std::string text;
  for (const auto& place : counts_of(rhythm, four)) text += place.front() + " ";
  EXPECT_EQ(text, "1 (2) & 3 | (1) & (2) e ");
  const auto bars = read_counts(text, four);
  ASSERT_TRUE(bars);
  EXPECT_EQ((*bars)[0], (std::vector<Beats>{Beats(0), Beats(3, 2), Beats(2)}));
  EXPECT_EQ((*bars)[1], (std::vector<Beats>{Beats(1, 2), Beats(5, 4)}));
  EXPECT_TRUE(read_counts("1&2 & 3", four));
  EXPECT_FALSE(read_counts("5", four));
  EXPECT_FALSE(read_counts("& 1", four));
  EXPECT_FALSE(read_counts("happy", four));
  EXPECT_FALSE(read_counts("(", four));
  EXPECT_FALSE(read_counts("", four));
}

TEST(EarKinds, ARhythmIsCheckedBarByBar) {
  for (std::uint64_t seed = 0; seed < 20; ++seed) {
    const Exercise exercise = heard_sheet("rhythm-dictation", 2 + static_cast<int>(seed % 7), seed);
    std::string right;
    for (const auto& place : exercise.answer->solution) right += place.front() + " ";
    EXPECT_TRUE(check_answer(exercise, right)->right) << right;
    // One note too many or too few, with the bar and the count.
    const auto more = check_answer(exercise, right + "| 1");
    EXPECT_FALSE(more->right);
    const auto wrong = check_answer(exercise, "1");
    ASSERT_TRUE(wrong);
    if (exercise.answer->solution.size() > 1) {
      EXPECT_FALSE(wrong->right);
      EXPECT_FALSE(wrong->not_yet.empty());
    }
  }
  EXPECT_FALSE(check_answer(heard_sheet("rhythm-dictation", 3, 1), "long short"));
}

TEST(EarKinds, WhatWasConfusedIsToldAndAskedAgain) {
  const Exercise exercise = heard_sheet("intervals", 3, 4);
  std::string said, wrong_word;
  const std::string first = exercise.answer->solution.front().front();
  for (const std::string& word : exercise.answer->words) {
    if (word != first) wrong_word = word;
  }
  for (std::size_t i = 0; i < exercise.answer->solution.size(); ++i) {
    said += (i == 0 ? wrong_word : exercise.answer->solution[i].front()) + " ";
  }
  const auto checked = check_answer(exercise, said);
  ASSERT_TRUE(checked);
  EXPECT_FALSE(checked->right);
  ASSERT_EQ(checked->confused.size(), 1U);
  EXPECT_EQ(checked->confused.front(), (Confusion{first, wrong_word}));
  ASSERT_FALSE(checked->to_hear.empty());
  EXPECT_NE(checked->to_hear.front().find(" was taken for "), std::string::npos);

  // Next time the two come first.
  const Exercise again = heard_sheet("intervals", 3, 9, {first, wrong_word});
  const std::set<std::string> asked{again.answer->solution[0].front(), again.answer->solution[1].front()};
  EXPECT_EQ(asked, (std::set<std::string>{first, wrong_word}));
}

// m3 and M3 differ only by the size of a letter, and are not the same.
TEST(EarKinds, MajorAndMinorIntervalsAreToldApart) {
  Exercise exercise = heard_sheet("intervals", 3, 4);
  exercise.answer->solution = {{"m3"}};
  EXPECT_TRUE(check_answer(exercise, "m3")->right);
  EXPECT_FALSE(check_answer(exercise, "M3")->right);
}

}  // namespace
}  // namespace romanesca
