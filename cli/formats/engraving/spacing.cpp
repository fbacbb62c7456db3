#include "cli/formats/engraving/spacing.h"

#include <algorithm>
#include <cstddef>

namespace romanesca {

std::vector<double> spaced_by(const std::vector<SpacingColumn>& columns, const std::vector<LeastDistance>& distances,
                              double factor) {
  std::vector<double> x(columns.size());
  std::size_t next = 0;
  for (std::size_t i = 1; i < columns.size(); ++i) {
    x[i] = x[i - 1] + factor * columns[i - 1].ideal;
    for (; next < distances.size() && distances[next].to == static_cast<int>(i); ++next) {
      x[i] = std::max(x[i], x[static_cast<std::size_t>(distances[next].from)] + distances[next].distance);
    }
  }
  return x;
}

std::vector<double> space_columns(const std::vector<SpacingColumn>& columns,
                                  const std::vector<LeastDistance>& distances, double width) {
  double low = 0;
  double high = 16;
  constexpr int halvings = 40;
  for (int i = 0; i < halvings; ++i) {
    const double middle = (low + high) / 2;
    (spaced_by(columns, distances, middle).back() > width ? high : low) = middle;
  }
  return spaced_by(columns, distances, low);
}

}  // namespace romanesca
