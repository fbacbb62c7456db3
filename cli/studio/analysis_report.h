#pragma once

#include <span>
#include <string>
#include <vector>

#include "progressions/continuation.h"
#include "progressions/ideas.h"
#include "progressions/level.h"
#include "progressions/pattern_match.h"
#include "theory/analysis/analysis.h"
#include "theory/analysis/remarks.h"

namespace romanesca {

/// The findings about a piece.
struct AnalysisReport {
  const Progression& progression;
  const Analysis& analysis;
  std::vector<PatternMatch> patterns;
  std::vector<Remark> remarks;
  int level = 1;  ///< that the ideas are for
  std::vector<Idea> ideas;
  std::vector<Continuation> next;  ///< only where they were asked for
};

/// Looks for patterns, slips and ideas. The report refers to both arguments.
/// @param progression as written, or as placed @param level that the ideas are for, 1 to 8; 0 for that of the piece
/// @param levels the teacher's own, eight of them @param terms what cadences are called
[[nodiscard]] AnalysisReport report_on(const Progression& progression, const Analysis& analysis, int level,
                                       std::span<const Level> levels, CadenceTerms terms = CadenceTerms::british);

/// The command that plays an idea, in the song's meter, style and tempo: romanesca play "| C | A7 | Dm | G |".
[[nodiscard]] std::string command_to_hear(const Idea& idea, const Progression& song);

}  // namespace romanesca
