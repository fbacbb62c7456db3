#pragma once

#include <vector>

#include "progressions/continuation.h"
#include "progressions/ideas.h"
#include "progressions/pattern_match.h"
#include "theory/analysis/analysis.h"

namespace romanesca {

/// Everything that analyse has to tell about a piece.
struct AnalysisReport {
  const Progression& progression;
  const Analysis& analysis;
  std::vector<PatternMatch> patterns;
  std::vector<Remark> remarks;
  int level = 1;  ///< that the ideas are for
  std::vector<Idea> ideas;
  std::vector<Continuation> next;  ///< only where they were asked for
};

}  // namespace romanesca
