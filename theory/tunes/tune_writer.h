#pragma once

#include <string>
#include <vector>

#include "theory/tunes/bar_notes.h"

namespace romanesca {

/// A line of bars to be written, and the notes before it.
struct BarsToWrite {
  const BarNotes* upbeat = nullptr;
  std::vector<const BarNotes*> bars;
  int signature = 0;  ///< sharps (positive) or flats (negative)
  Meter meter{};
  Beats unit{1, 2};  ///< what a letter alone lasts, in quarter notes
};

/// The notes of each bar in the syntax that read_tune_line reads, those of the upbeat first where there are any. Notes
/// shorter than a quarter stand together where they share a pulse.
[[nodiscard]] std::vector<std::string> write_tune_bars(const BarsToWrite& line);

}  // namespace romanesca
