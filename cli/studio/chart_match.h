#pragma once

#include <vector>

#include "cli/studio/recording_chart.h"

namespace romanesca {

/// Bars that were heard beside those of the chart that was played. A recording may begin late, end early, or have a bar
/// too many: the bars are aligned so that most are right.
struct ChartMatch {
  int bars = 0;                           ///< of the chart
  int right = 0;                          ///< root and third right for more than 80 % of the bar
  int right_exactly = 0;                  ///< and the sevenths
  double root = 0, third = 0, exact = 0;  ///< share of the chart's time with the right root, with its third, exactly
  int doubtful = 0;                       ///< bars of the chart that were heard doubtfully
  int doubtful_right = 0;                 ///< of these, right
  bool same_key = false, same_meter = false;
  std::vector<int> wrong;  ///< bars of the chart, from 1
};

/// @param truth the chart that was played, as absolute chords @param key that of the truth
[[nodiscard]] ChartMatch match_chart(const RecordingChart& heard, const Progression& truth, const Key& key);

}  // namespace romanesca
