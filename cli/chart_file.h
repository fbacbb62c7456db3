#pragma once

#include <string>
#include <vector>

#include "cli/options.h"
#include "cli/page/chart_drawing.h"
#include "theory/hands.h"

namespace romanesca {

/// The endings of files that a chart can be written to.
[[nodiscard]] const std::vector<std::string>& chart_endings();

/// What stands in a chart's file. @param ending one of chart_endings(); text and JSON take nothing but the advice, or
/// nothing, from the paper.
[[nodiscard]] std::string chart_in_format(const std::string& ending, const PlacedProgression& placed,
                                          const Hands& hands, const PaperSettings& paper);

}  // namespace romanesca
