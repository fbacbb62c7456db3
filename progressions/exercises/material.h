#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "progressions/exercise.h"
#include "theory/text/embedded_text.h"
#include "theory/text/errors.h"

namespace romanesca {

/// A rhythm of one bar from rhythms.toml, which explains the fields.
struct ExerciseRhythm {
  std::string id;
  Meter meter;
  int level = 1;
  std::vector<RhythmNote> notes;
};
[[nodiscard]] std::span<const ExerciseRhythm> exercise_rhythms();

/// A style that exercises are accompanied by, from backings.toml.
struct ExerciseBacking {
  std::string style;
  Meter meter;
  int level = 1;
  int slowest_bpm = 60, fastest_bpm = 90;  ///< pulses a minute
};
[[nodiscard]] std::span<const ExerciseBacking> exercise_backings();

/// Terms of music and what they mean, from words.toml.
[[nodiscard]] std::span<const ExplainedWord> explained_words();
/// Those of them that occur in a text as words of their own, in the file's order.
[[nodiscard]] std::vector<ExplainedWord> words_to_explain(std::string_view text);

/// Readers of the files: their rows, or the first error.
[[nodiscard]] Parsed<std::vector<ExerciseKind>> read_exercise_kinds(const EmbeddedText& file);
[[nodiscard]] Parsed<std::vector<ExerciseRhythm>> read_exercise_rhythms(const EmbeddedText& file);
[[nodiscard]] Parsed<std::vector<ExerciseBacking>> read_exercise_backings(const EmbeddedText& file);
[[nodiscard]] Parsed<std::vector<ExplainedWord>> read_explained_words(const EmbeddedText& file);

/// The data files as compiled in.
[[nodiscard]] std::span<const EmbeddedText> exercise_rhythm_texts();
[[nodiscard]] std::span<const EmbeddedText> exercise_backing_texts();
[[nodiscard]] std::span<const EmbeddedText> exercise_word_texts();

}  // namespace romanesca
