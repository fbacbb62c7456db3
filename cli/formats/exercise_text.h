#pragma once

#include <span>
#include <string>

#include "progressions/exercise.h"

namespace romanesca {

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
