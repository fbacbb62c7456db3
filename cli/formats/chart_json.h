#pragma once

#include "cli/formats/analysis_json.h"
#include "theory/voicing/hands.h"

namespace romanesca {

/// The whole answer of chart --json, as text: key and chords as in analyse --json, each chord with its inversion and
/// both hands.
[[nodiscard]] std::string chart_json(const Progression& progression, const Analysis& analysis, const Hands& hands);

}  // namespace romanesca
