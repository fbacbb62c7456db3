#pragma once

#include <functional>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "progressions/level.h"
#include "theory/analysis/analysis.h"
#include "theory/chords/key.h"
#include "theory/chords/numeral.h"

namespace romanesca {

/// Chords in bars, in no particular key; the chords of a bar share its time evenly.
using NumeralBars = std::vector<std::vector<Numeral>>;

/// The key of the mode without sharps or flats.
[[nodiscard]] Key key_without_accidentals(Mode mode);

/// The note that distinguishes a church mode from major or minor, as a degree from 1 to 7: the raised fourth of lydian,
/// the lowered seventh of mixolydian, the raised sixth of dorian, the lowered second of phrygian. Nothing for major and
/// minor.
[[nodiscard]] std::optional<int> characteristic_degree(Mode mode);

/// A chord loop in no particular key.
struct Loop {
  NumeralBars bars;                   ///< the chords of a bar share its time evenly
  int level = 1;                      ///< the lowest built-in level that can play it
  Analysis analysis;                  ///< of it in the easiest key of its mode
  std::optional<CadenceKind> ending;  ///< the cadence that its last bar completes, if any
  bool begins_on_tonic = false;
  bool ends_on_tonic = false;
  bool in_key = false;         ///< every chord is of the key
  bool from_library = false;   ///< a pattern of the library, not counted together from songs
  bool bass_can_walk = false;  ///< inversions give its bass more steps than its roots have

  [[nodiscard]] bool one_chord_a_bar() const;
  /// Its chords in time.
  [[nodiscard]] std::vector<Chord> chords(const Key& key) const;
  /// "I vi IV V"
  [[nodiscard]] std::string numerals() const;
};

/// All loops of a mode; none for locrian.
[[nodiscard]] std::span<const Loop> loops(Mode mode);

/// The accepted loops that the level can play, the hardest first; easier ones only until there are 24.
/// @param accept whether a loop is suitable; empty for any
[[nodiscard]] std::vector<const Loop*> loops_for(Mode mode, const Level& level,
                                                 const std::function<bool(const Loop&)>& accept = {});

/// A progression of one section from chords in bars; meter 4/4 and the key as stated.
[[nodiscard]] Progression progression_of(const std::vector<std::vector<Chord>>& bars, const Key& key);

}  // namespace romanesca
