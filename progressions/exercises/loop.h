#pragma once

#include <functional>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "progressions/exercises/rounds.h"
#include "progressions/level.h"
#include "theory/analysis/analysis.h"

namespace romanesca {

/// A round of chords to work with, seen from no key yet.
struct Loop {
  NumeralBars bars;                   ///< the chords of a bar share its time evenly
  int level = 1;                      ///< the lowest built-in level that can play it
  Analysis analysis;                  ///< of it in the easiest key of its mode
  std::optional<CadenceKind> ending;  ///< where its last bar is the arrival of a cadence
  bool begins_home = false;
  bool in_key = false;         ///< every chord is of the key
  bool bass_can_walk = false;  ///< inversions give it more steps in the bass than its roots have

  [[nodiscard]] bool one_chord_a_bar() const;
  /// Its chords in time.
  [[nodiscard]] std::vector<Chord> chords(const Key& key) const;
  /// "I vi IV V"
  [[nodiscard]] std::string numerals() const;
};

/// All loops of a mode: its rounds, with what an exercise asks of them. None for locrian.
[[nodiscard]] std::span<const Loop> loops(Mode mode);

/// Those that the level can play and that will do, the hardest of them and at least a handful if there are so many.
/// @param wish which will do; nothing for any
[[nodiscard]] std::vector<const Loop*> loops_for(Mode mode, const Level& level,
                                                 const std::function<bool(const Loop&)>& wish = {});

/// A progression of one section from chords in bars; meter 4/4 and the key as stated.
[[nodiscard]] Progression progression_of(const std::vector<std::vector<Chord>>& bars, const Key& key);

}  // namespace romanesca
