#pragma once

#include <string>

#include "cli/placed_progression.h"
#include "theory/hands.h"

namespace romanesca {

/// A chart as HTML: the bars under their sections, each chord with its numeral and its place in data-chord (an index
/// into the timeline), then a keyboard for each different way that the hands play a chord. Escaped throughout.
/// @param advice a sentence under it, or empty
[[nodiscard]] std::string chart_markup(const PlacedProgression& placed, const Hands& hands, const std::string& advice);

}  // namespace romanesca
