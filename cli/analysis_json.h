#pragma once

#include <nlohmann/json.hpp>
#include <vector>

#include "progressions/pattern_match.h"
#include "theory/analysis.h"

namespace romanesca {

using OrderedJson = nlohmann::ordered_json;

/// {"tonic":"G","mode":"major","confidence":0.97}
[[nodiscard]] OrderedJson key_json(const KeyGuess& guess);
/// The "chords" of analyse --json, one object per chord of the timeline.
[[nodiscard]] OrderedJson chords_json(const Progression& progression, const Analysis& analysis);
/// The whole answer of analyse --json.
[[nodiscard]] OrderedJson analysis_json(const Progression& progression, const Analysis& analysis,
                                        const std::vector<PatternMatch>& patterns, const std::vector<Remark>& remarks);

}  // namespace romanesca
