#pragma once

#include "cli/formats/paper/marks.h"
#include "theory/analysis/placement.h"
#include "theory/voicing/hands.h"

namespace romanesca {

/// How a chart is set on paper.
struct PaperSettings {
  double width = 595, height = 842;        ///< A4 in points; Letter is 612 by 792
  bool large = false;                      ///< large print
  bool staves = false;                     ///< the notes on two staves too
  std::string advice;                      ///< a sentence at the end; may be empty
  std::vector<std::size_t> open_chords{};  ///< of the timeline, rising: an empty box in place of N.C., to be written in
};

/// A chart on pages: the bars in rows under their sections, each chord large with its numeral under it, then a keyboard
/// for each different way that the hands play a chord. No row is split; pages have numbers where there is more than
/// one.
[[nodiscard]] Drawing chart_drawing(const Placement& placed, const Hands& hands, const PaperSettings& paper);

}  // namespace romanesca
