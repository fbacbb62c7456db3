#pragma once

#include <vector>

#include "cli/formats/engraving/staff_content.h"
#include "cli/formats/paper/chart_form.h"
#include "cli/formats/paper/page_flow.h"

namespace romanesca {

/// Sets a chart as music: both hands on a grand staff in the chart's own rhythm, or slashes on one staff; chord symbols
/// over it, numerals and words under it. As many bars in a line as have room, at most four.
void put_chart_staves(PageFlow& flow, const Placement& placed, const Hands& hands, const std::vector<ChartBar>& bars);

/// The notes of one bar as MusicXML writes them too. @param first_chord @param end_chord of the timeline, those of the
/// bar @param staff 0 for the right hand, 1 for the left
[[nodiscard]] std::vector<StaffEvent> hand_events(const Placement& placed, const Hands& hands, std::size_t first_chord,
                                                  std::size_t end_chord, int staff);

}  // namespace romanesca
