#pragma once

#include <string>
#include <vector>

#include "progressions/level.h"

namespace romanesca {

/// A piece made playable at a level.
struct Simplification {
  Progression progression;           ///< absolute chords
  Key key;                           ///< that it is in now
  std::vector<std::string> changes;  ///< what was changed, a sentence each; empty where nothing had to be
};

/// Makes a piece playable at a level, with as few changes as possible: the key to the nearest that the level has,
/// chords to their sevenths or triads, chords from outside the key to those of the key on the same degree, a slash away
/// where the level has no such inversion, and chords between the strong beats away where there are too many in a bar.
/// @param progression absolute chords @param analysis of them
/// @param key a key to go to instead of the nearest, in the piece's mode; the level's limit of accidentals is ignored
[[nodiscard]] Simplification simplified(const Progression& progression, const Analysis& analysis, const Level& level,
                                        const std::optional<Key>& key = std::nullopt);

}  // namespace romanesca
