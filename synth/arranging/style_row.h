#pragma once

#include <string>
#include <vector>

namespace romanesca {

/// One line of a style's grid: what it plays, and a sign for every step. The signs are explained in styles/pop.toml.
struct StyleRow {
  int drum = 0;  ///< General MIDI percussion key; 0 for a pitched part
  /// The ways to play it, the usual one first; without blanks and bars, all of the same whole number of bars.
  std::vector<std::string> ways;
};

/// The rows that sound together; empty if the part rests.
using StylePattern = std::vector<StyleRow>;

}  // namespace romanesca
