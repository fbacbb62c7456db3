#pragma once

#include <span>
#include <vector>

#include "cli/formats/engraving/marks.h"
#include "cli/formats/paper/chart_form.h"
#include "cli/formats/paper/page_flow.h"

namespace romanesca {

/// Height that the signs of the form need over a line of bars: endings, tempo, how often a part is played. In points at
/// usual size; 0 if there are none.
[[nodiscard]] double form_signs_height(std::span<const ChartBar> bars);

/// Puts them over a line of bars: brackets of endings, also those that began on the line before, new tempos, and how
/// often a part is played where that is more than twice.
/// @param edges x of the left edge of each bar, and of the last one's right edge @param y that they stand on
void put_form_signs(std::vector<Mark>& marks, std::span<const ChartBar> bars, const std::vector<double>& edges,
                    double y, double scale);

/// A line of its own for a section that is played as one before, between lines of music: its name says all.
void put_recall(PageFlow& flow, const ChartBar& bar, double scale);

}  // namespace romanesca
