#pragma once

#include <string>

#include "theory/analysis/placement.h"
#include "theory/voicing/hands.h"

namespace romanesca {

/// The chart for the terminal: the bars with numerals, then for every chord what both hands play, with fingers and the
/// name of the inversion. @param advice a sentence under it, or empty. @param width columns to stay within.
[[nodiscard]] std::string chart_text(const Placement& placed, const Hands& hands, const std::string& advice, int width);

/// That another key is nearly as likely, and how to say which is meant; empty where the key is clear or was named.
[[nodiscard]] std::string second_reading(const Placement& placed);

/// "root position", "1st inversion", "2nd inversion", "3rd inversion"; "open" for a shape without a name.
[[nodiscard]] std::string shape_name(VoicingKind kind, int inversion);

}  // namespace romanesca
