#pragma once

#include <string>
#include <vector>

#include "progressions/level.h"

namespace romanesca {

/// Something to try with a student's song.
struct Idea {
  std::string kind;  ///< "order", "substitution", "colour", "bass", "bridge"
  std::vector<Chord> chords;
  std::string text;  ///< a sentence for a person
};

/// Two or three things to try with a piece, of different kinds, each playable at the level in the piece's key: another
/// order of its chords, a substitute for one of them, a bass that moves by step, a bridge from the library. Fewer
/// where the piece has fewer than three different chords.
[[nodiscard]] std::vector<Idea> ideas_for(const Analysis& analysis, const Level& level);

}  // namespace romanesca
