#pragma once

#include <optional>
#include <vector>

#include "progressions/exercises/seed_digits.h"
#include "theory/analysis/cadence.h"
#include "theory/chords/chord.h"
#include "theory/chords/key.h"

namespace romanesca {

/// Whether songs go from the one chord to the other: in at least five of a hundred changes from it (continuations.txt;
/// five is our choice). A chord that stays counts as well.
[[nodiscard]] bool songs_go(const Chord& from, const Chord& to, const Key& key);

/// The cadence that the second chord makes after the first, as find_cadences names it; nothing if none. A half cadence
/// needs no chord before it but another one.
[[nodiscard]] std::optional<CadenceKind> cadence_between(const Chord& before, const Chord& here, const Key& key);

/// Whether it goes home from the chord on the lowered seventh degree, as songs of rock do: that closes a phrase too,
/// but is no cadence that textbooks name.
[[nodiscard]] bool closes_from_seventh(const Chord& before, const Chord& here, const Key& key);

/// What a drawn phrase has to be like.
struct PhraseShape {
  std::size_t count = 4;                                       ///< of chords, 2 to 16
  bool from_home = true;                                       ///< begins on the tonic; else on another chord
  std::optional<CadenceKind> ending = CadenceKind::authentic;  ///< how its last two chords close; nothing for anyhow
  bool may_repeat = false;                                     ///< a chord may stand twice in a row, not three times
  bool meets_home = true;                                      ///< holds the tonic chord
  bool both_kinds = false;                                     ///< holds a chord with a minor third and one without
};

/// A phrase of these chords in which each follows the one before as in songs: one of all that there are, each as
/// likely. Where there is none the ending may be any cadence, then the changes may be any.
/// @param palette different chords, the tonic among them
[[nodiscard]] std::vector<Chord> phrase(SeedDigits& variation, const Key& key, const std::vector<Chord>& palette,
                                        const PhraseShape& shape);

}  // namespace romanesca
