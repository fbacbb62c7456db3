#include "cli/formats/engraving/ties.h"

#include <algorithm>

namespace romanesca {
namespace {

constexpr double beside = 0.22;  // from head to tie
constexpr double over = 0.72;    // over a head's middle

bool bows_up(const EventShape& shape, std::size_t place) {
  const std::size_t count = shape.heads.size();
  if (count == 1) return shape.stemmed ? !shape.up : shape.heads[0].position >= 0;
  const auto second = [&](std::size_t a) { return shape.heads[a + 1].position - shape.heads[a].position == 1; };
  if (place > 0 && second(place - 1)) return true;
  if (place + 1 < count && second(place)) return false;
  if (count % 2 == 0) return place >= count / 2;
  return place > count / 2 || (place == count / 2 && !shape.up);
}

/// Where the ink of heads, dots and an upward flag ends.
double behind(const EventShape& shape) {
  double right = 0;
  for (const EventShape::Head& head : shape.heads) right = std::max(right, head.x + shape.head_width);
  if (!shape.dots.empty()) right = std::max(right, shape.right);
  if (shape.flag && shape.up) right = std::max(right, shape.right);
  return right;
}

double before(const EventShape& shape) {
  double left = 0;
  for (const EventShape::Head& head : shape.heads) left = std::min(left, head.x);
  for (const EventShape::Sign& sign : shape.signs) left = std::min(left, sign.x + shape_of(sign.glyph).left);
  return left;
}

/// Whether the tie of this note may stand over or under the head: an outermost one, and nothing beside it.
bool outermost(const EventShape& shape, std::size_t place, bool up) {
  return up ? place + 1 == shape.heads.size() : place == 0;
}

}  // namespace

Tie tie_between(const EventShape& shape, std::size_t place, double x, const EventShape* next, std::size_t next_place,
                double next_x) {
  Tie tie;
  tie.up = bows_up(shape, place);
  const double direction = tie.up ? -1 : 1;
  const EventShape::Head& head = shape.heads[place];
  const bool outer = outermost(shape, place, tie.up) && (next == nullptr || outermost(*next, next_place, tie.up)) &&
                     shape.dots.empty() && !(shape.flag && shape.up == tie.up) &&
                     (next == nullptr || next->signs.empty());
  const bool stem_here = shape.stemmed && shape.up && tie.up;
  const bool stem_there = next != nullptr && next->stemmed && !next->up && !tie.up;
  if (outer && !stem_here && !stem_there) {
    tie.from_x = x + head.x + 0.62 * shape.head_width;
    tie.to_x = next == nullptr ? next_x : next_x + next->heads[next_place].x + 0.38 * next->head_width;
    tie.y = head.y + direction * over;
    return tie;
  }
  tie.from_x = x + behind(shape) + beside;
  tie.to_x = next == nullptr ? next_x : next_x + before(*next) - beside;
  tie.y = head.y + direction * (outermost(shape, place, tie.up) ? 0.42 : 0.18);
  return tie;
}

Tie tie_from_before(const EventShape& shape, std::size_t place, double x, double from_x) {
  Tie tie;
  tie.up = bows_up(shape, place);
  tie.from_x = from_x;
  tie.to_x = x + before(shape) - beside;
  tie.y = shape.heads[place].y + (tie.up ? -1 : 1) * (outermost(shape, place, tie.up) ? 0.42 : 0.18);
  return tie;
}

void put_tie(std::vector<Mark>& marks, const Tie& tie, double left, double middle, double space) {
  const double length = std::max(tie.to_x - tie.from_x, 0.3);
  const double direction = tie.up ? -1 : 1;
  const double height = std::min(1.1, 0.35 + 0.09 * length) * 4 / 3;  // of the control points
  constexpr double thick = 0.21 / 2;
  constexpr double thin = 0.08 / 2;
  const double inset = std::min(0.33, 0.9 / std::max(length, 1.0) + 0.12) * length;
  const auto point = [&](double x, double y) { return PagePoint{left + x * space, middle + y * space}; };
  const double end = tie.from_x + length;
  ShapeMark shape;
  shape.curved = true;
  const double outer = tie.y + direction * (height + thick);
  const double inner = tie.y + direction * (height - thick);
  const double from_outer = tie.y + direction * thin;
  const double from_inner = tie.y - direction * thin;
  shape.points = {point(tie.from_x, from_outer), point(tie.from_x + inset, outer), point(end - inset, outer),
                  point(end, from_outer),        point(end, from_outer),           point(end, from_inner),
                  point(end, from_inner),        point(end - inset, inner),        point(tie.from_x + inset, inner),
                  point(tie.from_x, from_inner)};
  marks.push_back({std::move(shape), MarkKind::tie, 0});
}

}  // namespace romanesca
