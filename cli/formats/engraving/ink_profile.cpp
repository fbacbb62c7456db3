#include "cli/formats/engraving/ink_profile.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace romanesca {
namespace {

int band_of(double y) { return static_cast<int>(std::floor(y / InkProfile::band)); }

std::size_t as_index(int place) { return static_cast<std::size_t>(place); }

InkProfile profile_from(const GlyphShape& shape) {
  InkProfile profile;
  profile.first = band_of(shape.top);
  const auto count = as_index(band_of(shape.bottom) - profile.first + 1);
  profile.left.assign(count, std::numeric_limits<double>::max());
  profile.right.assign(count, std::numeric_limits<double>::lowest());
  double from_x = 0;
  double from_y = 0;
  const auto touch = [&](double x, double y) {
    const auto band = static_cast<std::size_t>(std::clamp(band_of(y) - profile.first, 0, static_cast<int>(count) - 1));
    profile.left[band] = std::min(profile.left[band], x);
    profile.right[band] = std::max(profile.right[band], x);
  };
  const auto line = [&](double x, double y) {
    const int steps = 1 + static_cast<int>(std::abs(y - from_y) / (InkProfile::band / 2));
    for (int i = 0; i <= steps; ++i) {
      const double part = static_cast<double>(i) / steps;
      touch(from_x + (x - from_x) * part, from_y + (y - from_y) * part);
    }
    from_x = x;
    from_y = y;
  };
  const auto move = [&](double x, double y) {
    from_x = x;
    from_y = y;
  };
  const auto curve = [&](double ax, double ay, double bx, double by, double x, double y) {
    constexpr int steps = 12;
    const double x0 = from_x;
    const double y0 = from_y;
    for (int i = 1; i <= steps; ++i) {
      const double t = static_cast<double>(i) / steps;
      const double u = 1 - t;
      line(u * u * u * x0 + 3 * u * u * t * ax + 3 * u * t * t * bx + t * t * t * x,
           u * u * u * y0 + 3 * u * u * t * ay + 3 * u * t * t * by + t * t * t * y);
    }
  };
  trace_outline(shape, move, line, curve);
  return profile;
}

}  // namespace

const InkProfile& InkProfile::of(Glyph glyph) {
  static const std::array<InkProfile, glyph_count> all = [] {
    std::array<InkProfile, glyph_count> made;
    std::size_t i = 0;
    for (const GlyphShape& shape : glyph_shapes()) made[i++] = profile_from(shape);
    return made;
  }();
  return all[static_cast<std::size_t>(glyph)];
}

void LeftEdge::lower(int band, double x) {
  if (band < -reach || band >= reach) return;
  double& edge = edge_[as_index(band + reach)];
  edge = std::min(edge, x);
  top_ = std::min(top_, band);
  bottom_ = std::max(bottom_, band);
}

void LeftEdge::add(Glyph glyph, double x, double y) {
  const InkProfile& profile = InkProfile::of(glyph);
  const int shift = static_cast<int>(std::lround(y / InkProfile::band));
  for (std::size_t i = 0; i < profile.left.size(); ++i) {
    if (profile.left[i] <= profile.right[i]) lower(profile.first + shift + static_cast<int>(i), x + profile.left[i]);
  }
}

void LeftEdge::add_box(double x, double top, double bottom) {
  for (int band = band_of(top); band <= band_of(bottom); ++band) lower(band, x);
}

double LeftEdge::limit(Glyph glyph, double y, double gap) const {
  const InkProfile& profile = InkProfile::of(glyph);
  const int shift = static_cast<int>(std::lround(y / InkProfile::band));
  const int around = static_cast<int>(std::ceil(gap / InkProfile::band));
  double limit = std::numeric_limits<double>::max();
  for (std::size_t i = 0; i < profile.left.size(); ++i) {
    if (profile.left[i] > profile.right[i]) continue;
    const int band = profile.first + shift + static_cast<int>(i);
    for (int b = std::max(band - around, -reach); b <= std::min(band + around, reach - 1); ++b) {
      const double edge = edge_[as_index(b + reach)];
      if (edge < std::numeric_limits<double>::max()) limit = std::min(limit, edge - gap - profile.right[i]);
    }
  }
  return limit;
}

double LeftEdge::leftmost() const {
  double least = 0;
  for (int band = top_; band <= bottom_; ++band) least = std::min(least, edge_[as_index(band + reach)]);
  return least;
}

}  // namespace romanesca
