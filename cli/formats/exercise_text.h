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
