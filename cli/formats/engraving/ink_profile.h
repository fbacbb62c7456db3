#pragma once

#include <limits>
#include <vector>

#include "cli/formats/engraving/glyph.h"

namespace romanesca {

/// The left and right edge of a sign's ink in thin horizontal bands: enough to set signs side by side as closely as
/// their shapes allow.
struct InkProfile {
  static constexpr double band = 1.0 / 16;  ///< height of a band in staff spaces

  int first = 0;  ///< number of the topmost band; band n reaches from n * band to (n + 1) * band, y downwards
  std::vector<double> left, right;

  [[nodiscard]] static const InkProfile& of(Glyph glyph);
};

/// The leftmost ink of a column of notes at every height, into which signs are set from the left.
class LeftEdge {
 public:
  /// Ink of a glyph whose origin is at x and y, in staff spaces.
  void add(Glyph glyph, double x, double y);
  void add_box(double x, double top, double bottom);
  /// The largest x at which the glyph's origin may be so that its ink keeps @p gap from all ink here.
  [[nodiscard]] double limit(Glyph glyph, double y, double gap) const;
  /// The leftmost ink of all; 0 if there is none right of it.
  [[nodiscard]] double leftmost() const;

 private:
  void lower(int band, double x);

  static constexpr int reach = 1024;  // bands above and below the middle line
  std::vector<double> edge_ = std::vector<double>(2UL * reach, std::numeric_limits<double>::max());
  int top_ = reach, bottom_ = -reach;  // bands with ink
};

}  // namespace romanesca
