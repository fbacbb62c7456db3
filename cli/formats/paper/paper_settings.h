#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "cli/formats/paper/paper_words.h"

namespace romanesca {

/// How the music of a chart is shown beside its chords.
enum class StaffKind : std::uint8_t {
  none,
  grand,          ///< both hands on two staves, in the chart's rhythm
  slashes,        ///< one staff with the chords' rhythm as slashes
  tune,           ///< the tune with its words and chord symbols: a lead sheet
  tune_and_left,  ///< the same, and the left hand on a staff under it
};

/// How a chart is set on paper.
struct PaperSettings {
  double width = 595, height = 842;          ///< A4 in points; Letter is 612 by 792
  bool large = false;                        ///< large print
  StaffKind staves = StaffKind::none;        ///< in place of the rows of bars
  std::string advice;                        ///< a sentence at the end; may be empty
  std::vector<std::size_t> open_chords{};    ///< of the timeline, rising: a line in place of N.C., to be written on
  std::string student{}, teacher{}, date{};  ///< for whom, by whom, when; what is empty is not shown

  bool foot = true;  ///< a foot on a page that stands alone: advice, caution, number
  double below = 0;  ///< room kept free under the chart, for what stands there beside it
  PaperWords words = english_words;

  double zoom = 1;  ///< to fill or to save a page

  /// What all sizes are multiplied by.
  [[nodiscard]] double scale() const { return (large ? 1.4 : 1.0) * zoom; }
};

}  // namespace romanesca
