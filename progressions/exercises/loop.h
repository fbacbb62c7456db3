#pragma once

#include <functional>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "progressions/level.h"
#include "theory/analysis.h"

namespace romanesca {

/// A round of chords to work with, seen from no key yet.
struct Loop {
  std::vector<std::vector<Numeral>> bars;  ///< the chords of a bar share its time evenly
  int level = 1;                           ///< the lowest built-in level that can play it
  Analysis analysis;                       ///< of it in the easiest key of its mode
  std::optional<CadenceKind> ending;       ///< where its last bar is the arrival of a cadence
  bool begins_home = false;
  bool bass_can_walk = false;  ///< inversions give it more steps in the bass than its roots have

  [[nodiscard]] bool one_chord_a_bar() const;
  /// Its chords in time.
  [[nodiscard]] std::vector<Chord> chords(const Key& key) const;
  /// "I vi IV V"
  [[nodiscard]] std::string numerals() const;
};

/// Loops of two to eight bars for a mode: the library's patterns, and every round of four in which each chord follows
/// the one before in at least five of a hundred cases (continuations.txt); with triads, with a seventh on the dominant
/// and with sevenths throughout. For the church modes rounds of the mode's own triads that hold its special note.
[[nodiscard]] std::span<const Loop> loops(Mode mode);

/// Those that the level can play and that will do, the hardest of them and at least a handful if there are so many.
/// @param wish which will do; nothing for any
[[nodiscard]] std::vector<const Loop*> loops_for(Mode mode, const Level& level,
                                                 const std::function<bool(const Loop&)>& wish = {});

/// The note that tells a church mode from plain major or minor, as a degree from 1 to 7: the raised fourth of lydian,
/// the lowered seventh of mixolydian, the raised sixth of dorian, the lowered second of phrygian. Nothing for major and
/// minor.
[[nodiscard]] std::optional<int> special_degree(Mode mode);

/// A progression of one section from chords in bars; meter 4/4 and the key as stated.
[[nodiscard]] Progression progression_of(const std::vector<std::vector<Chord>>& bars, const Key& key);

}  // namespace romanesca
