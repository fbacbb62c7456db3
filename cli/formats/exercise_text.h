#pragma once

#include <span>
#include <string>
#include <vector>

#include "progressions/exercise.h"

namespace romanesca {

/// A bar of rhythm in equal steps: how each is counted, and whether a note begins there ("x"), sounds on ("-") or is
/// silent (".").
struct CountedStep {
  std::string count;  ///< "1", "&"; "e" and "a" between them; in compound meters 1 to 6
  char sign = '.';
};
[[nodiscard]] std::vector<CountedStep> counted(std::span<const RhythmNote> rhythm, const Meter& meter);

/// A rhythm in words, rests and ties included: "quarter, quarter, eighth, eighth, quarter". @param rhythm of one bar or
/// more; the rest of its last bar is silent
[[nodiscard]] std::string rhythm_names(std::span<const RhythmNote> rhythm, const Meter& meter);

/// A model as notes and values, a line for each bar: "1 | G4 quarter, A4 quarter, B4 half".
[[nodiscard]] std::string tune_text(const ExerciseTune& tune, const Meter& meter, int indent, int width);

/// What each level adds (exercises/level_steps.toml), with what is asked for by ear.
[[nodiscard]] std::string level_steps_text(int width);

/// Two lines: the count, and the rhythm under it.
[[nodiscard]] std::string rhythm_text(std::span<const RhythmNote> rhythm, const Meter& meter, int indent);

/// The bars with a line to write on for what is hidden, or whole. @param width columns to stay within
[[nodiscard]] std::string exercise_grid(const Exercise& exercise, bool whole, int width);

/// "Eb major, 76 beats a minute, 4/4, ballad"
[[nodiscard]] std::string exercise_heading(const Exercise& exercise);

/// What is right, for the teacher: "1 up, 2 down"; with alternatives "F or Dm".
[[nodiscard]] std::string solution_text(const ExerciseAnswer& answer);

/// How one exercise is to be shown on the terminal.
struct ExerciseView {
  std::string name;      ///< "A"; empty for one alone
  bool answers = false;  ///< with the answer key
  std::string sound;     ///< the command that makes its sound
  int width = 80;        ///< columns to stay within
};
[[nodiscard]] std::string exercise_text(const Exercise& exercise, const ExerciseView& view);

/// What a checked answer got right, and what not yet.
[[nodiscard]] std::string check_text(const ExerciseCheck& check, int width);

/// The kinds in a table. @param kinds in order
[[nodiscard]] std::string kinds_text(std::span<const ExerciseKind* const> kinds, int width);

}  // namespace romanesca
