#pragma once

#include <span>
#include <string>
#include <vector>

#include "theory/analysis/cadence.h"
#include "theory/chords/chord_type.h"
#include "theory/notes/interval.h"
#include "theory/text/embedded_text.h"
#include "theory/text/errors.h"

namespace romanesca {

/// What a level adds to the exercises: a table of level_steps.toml, which explains the fields. The lists hold all that
/// the levels up to this one brought, in their order.
struct LevelStep {
  int number = 1;
  std::string harmony, hands, rhythm, ear, form;
  int questions = 4, rounds = 3, bars = 1, inversions = 0, loop = 2;
  std::vector<Interval> intervals;
  std::vector<std::string> degrees;  ///< "1", "b7"
  std::vector<ChordType> chords;
  std::vector<CadenceKind> cadences;
};

/// The eight levels, from 1.
[[nodiscard]] std::span<const LevelStep> level_steps();
/// @param number 1 to 8; others are clamped.
[[nodiscard]] const LevelStep& level_step(int number);

/// Reads the file. @return eight of them, or what is wrong and where.
[[nodiscard]] Parsed<std::vector<LevelStep>> read_level_steps(const EmbeddedText& file);

/// "minor third", "perfect fifth", "tritone" for the augmented fourth; empty for one wider than an octave.
[[nodiscard]] std::string full_name(Interval interval);

/// The data file as compiled in.
[[nodiscard]] std::span<const EmbeddedText> exercise_level_texts();

}  // namespace romanesca
