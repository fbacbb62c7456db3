#pragma once

#include "cli/formats/analysis_json.h"
#include "theory/voicing/hands.h"

namespace romanesca {

/// The output of chart --json: key and chords as in analyse --json, each chord with its inversion and
/// both hands.
[[nodiscard]] ChordsJson chart_json(const Progression& progression, const Analysis& analysis, const Hands& hands);

}  // namespace romanesca
