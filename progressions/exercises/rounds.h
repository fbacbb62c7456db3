#pragma once

#include <optional>
#include <vector>

#include "theory/chords/key.h"
#include "theory/chords/numeral.h"

namespace romanesca {

/// Chords in bars, seen from no key yet; the chords of a bar share its time evenly.
using NumeralBars = std::vector<std::vector<Numeral>>;

/// Rounds of four to eight bars for a mode: the library's patterns, and every round of four in which each chord follows
/// the one before in at least five of a hundred cases (continuations.txt); with triads, with a seventh on the dominant
/// and with sevenths throughout. For the church modes rounds of the mode's own triads that hold its special note.
[[nodiscard]] std::vector<NumeralBars> rounds(Mode mode);

/// The key of the mode without sharps or flats.
[[nodiscard]] Key easiest_key(Mode mode);

/// The note that tells a church mode from plain major or minor, as a degree from 1 to 7: the raised fourth of lydian,
/// the lowered seventh of mixolydian, the raised sixth of dorian, the lowered second of phrygian. Nothing for major and
/// minor.
[[nodiscard]] std::optional<int> special_degree(Mode mode);

}  // namespace romanesca
