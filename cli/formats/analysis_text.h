#pragma once

#include <string>

#include "cli/studio/analysis_report.h"

namespace romanesca {

/// The output of analyse as text: key with its certainty, the chart with numerals, what the song does well, what to
/// check, what to try next.
/// @param width columns to stay within.
[[nodiscard]] std::string analysis_text(const AnalysisReport& answer, int width);

/// What could follow the last chord, with reasons.
[[nodiscard]] std::string next_text(const AnalysisReport& answer, int width);

}  // namespace romanesca
