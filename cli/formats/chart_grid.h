#pragma once

#include <string>

#include "theory/analysis/analysis.h"
#include "theory/songs/progression.h"

namespace romanesca {

/// The bars of a piece as text, four to a row or as many as fit: chord symbols with their numerals under them, under
/// the headings of their sections. A chord that sounds on from the bar before is shown by a slash.
/// @param width columns to stay within; a single bar may be wider.
[[nodiscard]] std::string chart_grid(const Progression& progression, const Analysis& analysis, int width);

/// "G major, 84 beats a minute, 4/4": the line under the title, with what is known.
[[nodiscard]] std::string heading_line(const Progression& progression, const Key& key);

}  // namespace romanesca
