#pragma once

#include <string>

#include "cli/studio/analysis_report.h"

namespace romanesca {

/// What analyse tells a person: key and how sure, the chart with numerals, what the song does well, what to look at
/// again, what to try next.
/// @param width columns to stay within.
[[nodiscard]] std::string analysis_text(const AnalysisReport& answer, int width);

/// What could follow the last chord, with reasons.
[[nodiscard]] std::string next_text(const AnalysisReport& answer, int width);

}  // namespace romanesca
