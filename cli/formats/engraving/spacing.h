#pragma once

#include <vector>

namespace romanesca {

/// The columns of a line of music: notes struck together, and bar lines. Lengths are points.
struct SpacingColumn {
  double ideal = 0;  ///< room up to the next column before the line is stretched
};

/// Two columns that must be so far apart at least.
struct LeastDistance {
  int from = 0, to = 0;  ///< from < to
  double distance = 0;
};

/// Places columns on a line: every ideal space is stretched by the same factor, and no distance is less than the least
/// ones, so that the last column lies at @p width. Longest path over both, the factor by halving (ours; the idea of
/// springs and rods is common in music setting, no source).
/// @param columns at least one; the first lies at 0
/// @param distances in rising order of `to`
/// @return x of each column; the last lies beyond @p width where the least distances are wider
[[nodiscard]] std::vector<double> space_columns(const std::vector<SpacingColumn>& columns,
                                                const std::vector<LeastDistance>& distances, double width);

/// The same with a given factor: 0 for the narrowest line that is possible, 1 for an unstretched one.
[[nodiscard]] std::vector<double> spaced_by(const std::vector<SpacingColumn>& columns,
                                            const std::vector<LeastDistance>& distances, double factor);

}  // namespace romanesca
