#pragma once

#include <string>
#include <vector>

#include "progressions/pattern_match.h"
#include "theory/analysis.h"

namespace romanesca {

/// What analyse tells a person: key and how sure, the chart with numerals, what the song does well, what to look at
/// again.
/// @param width columns to stay within.
[[nodiscard]] std::string analysis_text(const Progression& progression, const Analysis& analysis,
                                        const std::vector<PatternMatch>& patterns, const std::vector<Remark>& remarks,
                                        int width);

}  // namespace romanesca
