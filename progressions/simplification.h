#pragma once

#include <string>
#include <vector>

#include "progressions/level.h"

namespace romanesca {

/// A chord that another one replaces, both in the key that the piece is in now.
struct SimplerChord {
  Chord before, after;
  int bar = 0;  ///< where it stands first, from 1
};

/// A piece made playable at a level.
struct Simplification {
  Progression progression;           ///< absolute chords
  Key key;                           ///< that it is in now
  std::vector<std::string> changes;  ///< what was changed, a sentence each; empty where nothing had to be
  std::vector<SimplerChord> chords;  ///< each change of a chord once
  int thinned_bars = 0;              ///< bars in which chords were left out
};

/// Makes a piece playable at a level, with as few changes as possible: the key to the nearest that the level has,
/// chords to their sevenths or triads, a slash away where the level has no such inversion, and chords between the
/// strong beats away where there are too many in a bar. Each chord is read in the key of its region and keeps its
/// function and its kind (major, minor): a chord of that key is at home. Only where the level has no other way does
/// another chord stand there, and `changes` says why: a diminished chord becomes the chord whose upper part it is, a
/// chord from outside the key the one of the key on the same degree.
/// @param progression absolute chords @param analysis of them
/// @param key a key to go to instead of the nearest, in the piece's mode; the level's limit of accidentals is ignored
[[nodiscard]] Simplification simplified(const Progression& progression, const Analysis& analysis, const Level& level,
                                        const std::optional<Key>& key = std::nullopt);

}  // namespace romanesca
