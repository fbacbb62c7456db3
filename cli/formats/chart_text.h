#pragma once

#include <string>

#include "theory/analysis/placement.h"
#include "theory/voicing/hands.h"

namespace romanesca {

/// The chart for the terminal: the bars with numerals, then for every chord what both hands play, with fingers, the
/// inversion of the chord that sounds and the layout of the hands. @param advice a sentence under it, or empty. @param
/// width columns to stay within.
[[nodiscard]] std::string chart_text(const Placement& placed, const Hands& hands, const std::string& advice, int width);

/// That another key is nearly as likely, and how to say which is meant; empty where the key is clear or was named.
[[nodiscard]] std::string second_reading(const Placement& placed);

/// The inversion of the chord that sounds, by its bass: "root position", "1st inversion" ... "6th inversion"; "G in the
/// bass" where that is no tone of the chord.
[[nodiscard]] std::string inversion_name(const Chord& chord);

/// How the hands lay the chord out: "G on top" in close positions and four parts, else the degrees, "3-7" or
/// "1-7, 3-5-9".
[[nodiscard]] std::string layout_name(VoicingKind kind, const Chord& chord, const HandsChord& hands);

}  // namespace romanesca
