#include "page_geometry.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <map>
#include <sstream>
#include <utility>

namespace romanesca {
namespace {

struct Segment {
  double x1, y1, x2, y2;
};

struct Extent {
  double left = 1e9, top = 1e9, right = -1e9, bottom = -1e9;
  void add(double x, double y) {
    left = std::min(left, x);
    top = std::min(top, y);
    right = std::max(right, x);
    bottom = std::max(bottom, y);
  }
  [[nodiscard]] bool near(const Extent& other, double gap) const {
    return left - gap <= other.right && other.left - gap <= right && top - gap <= other.bottom &&
           other.top - gap <= bottom;
  }
};

/// A mark's outline as short straight lines.
struct Outline {
  std::vector<Segment> segments;
  Extent extent;
  MarkKind kind{};
  int group = 0;
  double space = 0;  ///< of a music sign
  std::string name;

  void line(double x1, double y1, double x2, double y2) {
    segments.push_back({x1, y1, x2, y2});
    extent.add(x1, y1);
    extent.add(x2, y2);
  }
  void polygon(const std::vector<PagePoint>& points) {
    for (std::size_t i = 0; i < points.size(); ++i) {
      const PagePoint& next = points[(i + 1) % points.size()];
      line(points[i].x, points[i].y, next.x, next.y);
    }
  }
  void box(double x, double y, double width, double height) {
    polygon({{x, y}, {x + width, y}, {x + width, y + height}, {x, y + height}});
  }
};

std::vector<PagePoint> curve(PagePoint from, PagePoint a, PagePoint b, PagePoint to) {
  constexpr int steps = 6;
  std::vector<PagePoint> points;
  for (int i = 1; i <= steps; ++i) {
    const double t = static_cast<double>(i) / steps;
    const double u = 1 - t;
    points.push_back({u * u * u * from.x + 3 * u * u * t * a.x + 3 * u * t * t * b.x + t * t * t * to.x,
                      u * u * u * from.y + 3 * u * u * t * a.y + 3 * u * t * t * b.y + t * t * t * to.y});
  }
  return points;
}

struct OutlineMaker {
  Outline& outline;

  void operator()(const TextMark& mark) const {
    outline.name = mark.text;
    outline.box(mark.box.x, mark.box.y, mark.box.width, mark.box.height);
  }
  void operator()(const LineMark& mark) const {
    const double length = std::hypot(mark.x2 - mark.x1, mark.y2 - mark.y1);
    const double x = length > 0 ? (mark.y2 - mark.y1) / length * mark.width / 2 : 0;
    const double y = length > 0 ? (mark.x2 - mark.x1) / length * mark.width / 2 : 0;
    outline.polygon({{mark.x1 - x, mark.y1 + y},
                     {mark.x2 - x, mark.y2 + y},
                     {mark.x2 + x, mark.y2 - y},
                     {mark.x1 + x, mark.y1 - y}});
  }
  void operator()(const BoxMark& mark) const {
    const double half = mark.line_width / 2;
    outline.box(mark.box.x - half, mark.box.y - half, mark.box.width + 2 * half, mark.box.height + 2 * half);
  }
  void operator()(const RoundMark& mark) const {
    std::vector<PagePoint> points;
    constexpr int steps = 24;
    for (int i = 0; i < steps; ++i) {
      const double angle = 6.283185307179586 * i / steps;
      points.push_back({mark.x + mark.radius_x * std::cos(angle), mark.y + mark.radius_y * std::sin(angle)});
    }
    outline.polygon(points);
  }
  void operator()(const GlyphMark& mark) const {
    outline.space = mark.space;
    outline.name = "glyph " + std::to_string(static_cast<int>(mark.glyph));
    PagePoint start;
    PagePoint at;
    const auto point = [&](double x, double y) { return PagePoint{mark.x + x * mark.space, mark.y + y * mark.space}; };
    const auto go = [&](PagePoint to) {
      outline.line(at.x, at.y, to.x, to.y);
      at = to;
    };
    bool open = false;
    trace_outline(
        shape_of(mark.glyph),
        [&](double x, double y) {
          if (open) go(start);
          open = true;
          start = at = point(x, y);
        },
        [&](double x, double y) { go(point(x, y)); },
        [&](double a, double b, double c, double d, double x, double y) {
          for (const PagePoint& each : curve(at, point(a, b), point(c, d), point(x, y))) go(each);
        });
    if (open) go(start);
  }
  void operator()(const ShapeMark& mark) const {
    if (!mark.curved) {
      outline.polygon(mark.points);
      return;
    }
    std::vector<PagePoint> points{mark.points.front()};
    for (std::size_t i = 1; i + 3 <= mark.points.size(); i += 3) {
      for (const PagePoint& each : curve(points.back(), mark.points[i], mark.points[i + 1], mark.points[i + 2]))
        points.push_back(each);
    }
    outline.polygon(points);
  }
};

Outline outline_of(const Mark& mark) {
  Outline outline;
  outline.kind = mark.kind;
  outline.group = mark.group;
  std::visit(OutlineMaker{outline}, mark.shape);
  return outline;
}

double to_segment(double x, double y, const Segment& s) {
  const double dx = s.x2 - s.x1;
  const double dy = s.y2 - s.y1;
  const double length = dx * dx + dy * dy;
  const double t = length > 0 ? std::clamp(((x - s.x1) * dx + (y - s.y1) * dy) / length, 0.0, 1.0) : 0;
  return std::hypot(x - s.x1 - t * dx, y - s.y1 - t * dy);
}

bool cross(const Segment& a, const Segment& b) {
  const auto side = [](const Segment& s, double x, double y) {
    return (s.x2 - s.x1) * (y - s.y1) - (s.y2 - s.y1) * (x - s.x1);
  };
  return side(a, b.x1, b.y1) * side(a, b.x2, b.y2) < 0 && side(b, a.x1, a.y1) * side(b, a.x2, a.y2) < 0;
}

double between(const Segment& a, const Segment& b) {
  if (cross(a, b)) return 0;
  return std::min(
      {to_segment(a.x1, a.y1, b), to_segment(a.x2, a.y2, b), to_segment(b.x1, b.y1, a), to_segment(b.x2, b.y2, a)});
}

/// Whether a point lies within the outline: an odd number of its lines are crossed on the way out.
bool holds(const Outline& outline, double x, double y) {
  bool inside = false;
  for (const Segment& s : outline.segments) {
    if ((s.y1 > y) == (s.y2 > y)) continue;
    if (x < s.x1 + (y - s.y1) / (s.y2 - s.y1) * (s.x2 - s.x1)) inside = !inside;
  }
  return inside;
}

Extent extent_of(const Segment& s) {
  Extent extent;
  extent.add(s.x1, s.y1);
  extent.add(s.x2, s.y2);
  return extent;
}

/// The distance of two outlines as far as it is less than @p limit; 0 where they overlap.
double distance(const Outline& a, const Outline& b, double limit) {
  if (a.segments.empty() || b.segments.empty()) return limit;
  if (holds(a, b.segments[0].x1, b.segments[0].y1) || holds(b, a.segments[0].x1, a.segments[0].y1)) return 0;
  double least = limit;
  for (const Segment& s : a.segments) {
    const Extent extent = extent_of(s);
    if (!extent.near(b.extent, limit)) continue;
    for (const Segment& t : b.segments) {
      if (extent.near(extent_of(t), limit)) least = std::min(least, between(s, t));
    }
  }
  return least;
}

bool is_music(MarkKind kind) { return kind >= MarkKind::staff && kind <= MarkKind::ending; }

using Pair = std::pair<MarkKind, MarkKind>;

Pair ordered(MarkKind a, MarkKind b) { return a < b ? Pair{a, b} : Pair{b, a}; }

/// Pairs that notation lets touch: what stands on staff lines, stems under their beam, ties over bar lines.
bool may_touch(MarkKind a, MarkKind b) {
  using enum MarkKind;
  const auto [low, high] = ordered(a, b);
  if (low == staff && is_music(high) && high != ending && high != tuplet) return true;
  static const std::vector<Pair> allowed{{ledger, stem},       {stem, beam},         {flag, beam},
                                         {tie, bar_line},      {bar_line, brace},    {ledger, tie},
                                         {bar_line, bar_line}, {keyboard, key_mark}, {key, key_mark},
                                         {key_mark, key_mark}, {keyboard, key},      {key, key}};
  return std::find(allowed.begin(), allowed.end(), Pair{low, high}) != allowed.end();
}

/// What two marks must keep apart, in points. Distances of signs are shares of a staff space: those of the engraving
/// rules less a little for rounding (Gould, Behind Bars, from memory, as cited in engraving_rules.h).
double clearance(const Outline& a, const Outline& b) {
  using enum MarkKind;
  const double space = std::max(a.space, b.space);
  static const std::map<Pair, double> in_spaces{{ordered(head, accidental), 0.12},
                                                {ordered(accidental, accidental), 0.12},
                                                {ordered(accidental, bar_line), 0.35},
                                                {ordered(head, bar_line), 0.5},
                                                {ordered(head, head), 0.2},
                                                {ordered(head, meter), 0.5},
                                                {ordered(head, signature), 0.5},
                                                {ordered(head, dot), 0.1},
                                                {ordered(accidental, ledger), 0.1},
                                                {ordered(ledger, ledger), 0.1},
                                                {ordered(rest, head), 0.2},
                                                {ordered(finger, head), 0.15}};
  const auto found = in_spaces.find(ordered(a.kind, b.kind));
  if (found != in_spaces.end()) return found->second * space;
  if (!is_music(a.kind) || !is_music(b.kind)) return 0.3;  // texts and figures
  return 0;
}

std::string describe(const Outline& a, const Outline& b, double gap) {
  std::ostringstream text;
  text << "kinds " << static_cast<int>(a.kind) << " \"" << a.name << "\" and " << static_cast<int>(b.kind) << " \""
       << b.name << "\" are " << gap << " apart at " << std::round(a.extent.left) << ", " << std::round(a.extent.top);
  return text.str();
}

}  // namespace

std::vector<std::string> page_faults(const Page& page) {
  std::vector<Outline> outlines;
  for (const Mark& mark : page.marks) {
    if (const auto* text = std::get_if<TextMark>(&mark.shape)) {
      if (text->box.width <= 0) continue;
    }
    outlines.push_back(outline_of(mark));
  }
  std::vector<std::string> faults;
  constexpr double margin = 20;
  for (const Outline& each : outlines) {
    if (each.extent.left < margin || each.extent.top < margin || each.extent.right > page.width - margin ||
        each.extent.bottom > page.height - margin) {
      faults.push_back("kind " + std::to_string(static_cast<int>(each.kind)) + " \"" + each.name +
                       "\" leaves the page");
    }
  }
  std::sort(outlines.begin(), outlines.end(),
            [](const Outline& a, const Outline& b) { return a.extent.top < b.extent.top; });
  for (std::size_t i = 0; i < outlines.size(); ++i) {
    for (std::size_t k = i + 1; k < outlines.size(); ++k) {
      const Outline& a = outlines[i];
      const Outline& b = outlines[k];
      constexpr double farthest = 5;
      if (b.extent.top > a.extent.bottom + farthest) break;
      if ((a.group != 0 && a.group == b.group) || may_touch(a.kind, b.kind)) continue;
      const double needed = clearance(a, b);
      if (!a.extent.near(b.extent, needed)) continue;
      const double gap = distance(a, b, needed + 0.01);
      const bool wrong = needed > 0 ? gap < needed - 1e-6 : gap <= 0;
      if (wrong) faults.push_back(describe(a, b, gap));
    }
  }
  return faults;
}

}  // namespace romanesca
