#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "theory/chords/chord.h"
#include "theory/chords/key.h"

namespace romanesca {

/// Why a chord stands in a palette.
enum class PaletteRole {
  main,      ///< I, IV, V; in minor i, iv, V
  other,     ///< another chord of the key
  surprise,  ///< one that a listener does not expect here
  own,       ///< given by the student
};

/// A chord that a tune may have, and how it goes on.
struct PaletteChord {
  Chord chord;
  PaletteRole role = PaletteRole::main;
  /// Row of the table of transitions; nothing for a chord outside it, which costs `rarity` to reach.
  std::optional<std::size_t> row;
  int rarity = 0;                    ///< hundredths of a natural logarithm
  std::vector<PitchClass> leads_to;  ///< roots of the chords that may follow; empty for any
};

/// Which chords may be used: a level says it.
struct HarmonyLimits {
  std::vector<ChordType> types;  ///< chord forms that may be used, where not all may
  bool all_types = true;
  bool applied = true;   ///< dominants of other chords than the tonic
  bool borrowed = true;  ///< chords of the parallel key
  bool jazz = false;     ///< sevenths on every chord, ii V for V, tritone substitutes
  int most_per_bar = 2;  ///< 1: a chord a bar
  [[nodiscard]] bool allows(ChordType type) const;
};

/// The chords of a key in the order of their roles: main, other, surprise. Diminished triads are left out: beginners'
/// songs have the dominant in their place (common practice, no source).
/// @param key major, minor or a church mode; a mode takes the chords of its own scale
[[nodiscard]] std::vector<PaletteChord> palette_of(const Key& key, const HarmonyLimits& limits);

/// The chords given, each once, as a palette of the key.
[[nodiscard]] std::vector<PaletteChord> palette_from(const std::vector<Chord>& chords, const Key& key);

/// Cost of going from one chord to another one, in hundredths of a natural logarithm.
[[nodiscard]] int transition_cost(const PaletteChord& from, const PaletteChord& to, const Key& key);

}  // namespace romanesca
