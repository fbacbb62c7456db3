#include "cli/studio/analysis_report.h"

namespace romanesca {

AnalysisReport report_on(const Progression& progression, const Analysis& analysis, int level,
                         std::span<const Level> levels) {
  AnalysisReport report{progression, analysis, match_patterns(analysis), remarks_on(analysis), level, {}, {}};
  if (level == 0) report.level = level_of(analysis, levels);
  report.ideas = ideas_for(analysis, levels[static_cast<std::size_t>(report.level) - 1]);
  return report;
}

}  // namespace romanesca
