#pragma once

#include "cli/analysis_json.h"
#include "cli/options.h"
#include "theory/hands.h"

namespace romanesca {

/// The whole answer of chart --json, as text: key and chords as in analyse --json, each chord with its inversion and
/// both hands.
[[nodiscard]] std::string chart_json(const PlacedProgression& placed, const Hands& hands);

}  // namespace romanesca
