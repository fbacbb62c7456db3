#pragma once

#include "cli/analysis_json.h"
#include "cli/options.h"
#include "theory/hands.h"

namespace romanesca {

/// The whole answer of chart --json: key and chords as in analyse --json, each chord with its inversion and both hands.
[[nodiscard]] OrderedJson chart_json(const PlacedProgression& placed, const Hands& hands);

}  // namespace romanesca
