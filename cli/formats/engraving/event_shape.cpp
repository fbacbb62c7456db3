#include "cli/formats/engraving/event_shape.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <set>

#include "cli/formats/engraving/engraving_rules.h"
#include "cli/formats/engraving/ink_profile.h"

namespace romanesca {
namespace {

using namespace engraving;

Glyph head_glyph(const StaffEvent& event) {
  if (event.slash) return Glyph::slash_head;
  if (event.value.power >= 2) return Glyph::whole_head;
  return event.value.power == 1 ? Glyph::half_head : Glyph::black_head;
}

Glyph rest_glyph(NoteValue value) {
  if (value.power >= 2) return Glyph::whole_rest;
  if (value.power == 1) return Glyph::half_rest;
  if (value.power == 0) return Glyph::quarter_rest;
  if (value.power == -1) return Glyph::eighth_rest;
  return value.power == -2 ? Glyph::sixteenth_rest : Glyph::thirty_second_rest;
}

EventShape shape_rest(const StaffEvent& event, Clef clef) {
  EventShape shape;
  shape.rest = true;
  shape.glyph = rest_glyph(event.value);
  const GlyphShape& ink = shape_of(shape.glyph);
  // A whole rest hangs from the fourth line; on a rhythm staff from its only one.
  const double y = shape.glyph == Glyph::whole_rest && clef != Clef::rhythm ? -1.0 : 0.0;
  shape.heads.push_back({-ink.left, y, 0});
  shape.head_width = ink.width();
  shape.right = ink.width();
  shape.top = y + ink.top;
  shape.bottom = y + ink.bottom;
  if (event.value.dotted) {
    shape.dot_x = shape.right + dot_gap;
    shape.dots.push_back(-0.5);
    shape.right = shape.dot_x + shape_of(Glyph::dot).width();
  }
  return shape;
}

/// Heads a second apart stand on either side of the stem.
void set_heads(EventShape& shape) {
  const double aside = shape.head_width - (shape.stemmed ? stem : 0);
  const std::size_t count = shape.heads.size();
  const auto place = [&](std::size_t i, std::size_t neighbour, double x) {
    const bool second = std::abs(shape.heads[i].position - shape.heads[neighbour].position) == 1;
    const bool unison = shape.heads[i].position == shape.heads[neighbour].position;
    if (second && shape.heads[neighbour].x == 0) shape.heads[i].x = x;
    if (unison) shape.heads[i].x = shape.heads[neighbour].x + shape.head_width + 0.1;
  };
  if (shape.up) {
    for (std::size_t i = 1; i < count; ++i) place(i, i - 1, aside);
  } else {
    for (std::size_t i = count - 1; i-- > 0;) place(i, i + 1, -aside);
  }
}

/// Outermost signs first, from top and bottom in turn, each as near as its shape allows or in a column already begun
/// (Gould, Ross; from memory).
void set_signs(EventShape& shape, const std::vector<std::optional<Glyph>>& signs) {
  LeftEdge edge;
  for (const EventShape::Head& head : shape.heads) {
    edge.add(shape.glyph, head.x, head.y);
    for (int line = 6; line <= std::abs(head.position); line += 2) {
      const double y = head.position > 0 ? -line / 2.0 : line / 2.0;
      edge.add_box(head.x - ledger_reach_by_sign, y - ledger_line / 2, y + ledger_line / 2);
    }
  }
  if (shape.stemmed && !shape.up) {
    edge.add_box(0, std::min(shape.far_head(), shape.stem_tip), std::max(shape.far_head(), shape.stem_tip));
  }
  std::vector<std::size_t> order;
  std::vector<std::size_t> waiting;
  for (std::size_t i = 0; i < signs.size(); ++i) {
    if (signs[i]) waiting.push_back(i);
  }
  for (std::size_t low = 0, high = waiting.size(); low < high;) {
    order.push_back(waiting[--high]);
    if (low < high) order.push_back(waiting[low++]);
  }
  std::vector<double> columns;  // right edges
  for (const std::size_t i : order) {
    const double y = shape.heads[i].y;
    const GlyphShape& ink = shape_of(*signs[i]);
    double x = edge.limit(*signs[i], y, sign_gap);
    double best = std::numeric_limits<double>::lowest();
    for (const double column : columns) {
      const double at = column - ink.right;
      if (at <= x && at > x - 0.5) best = std::max(best, at);
    }
    if (best > std::numeric_limits<double>::lowest()) x = best;
    columns.push_back(x + ink.right);
    edge.add(*signs[i], x, y);
    shape.signs.push_back({*signs[i], x, y});
    shape.left = std::max(shape.left, -(x + ink.left));
  }
}

void set_dots(EventShape& shape) {
  double right = 0;
  for (const EventShape::Head& head : shape.heads) right = std::max(right, head.x + shape.head_width);
  shape.dot_x = right + dot_gap;
  std::set<int> used;
  for (std::size_t i = shape.heads.size(); i-- > 0;) {
    int position = shape.heads[i].position;
    if (position % 2 == 0) ++position;  // on a line: into the space above
    if (used.contains(position)) position -= 2;
    if (!used.insert(position).second) continue;
    shape.dots.push_back(-position / 2.0);
  }
  shape.right = std::max(shape.right, shape.dot_x + shape_of(Glyph::dot).width());
}

/// An upward flag needs room on the right; a dot at its height stands behind it.
void clear_flag(EventShape& shape) {
  const GlyphShape& ink = shape_of(*shape.flag);
  const double edge = shape.stem_x + ink.right;
  shape.right = std::max(shape.right, edge);
  constexpr double air = 0.2;
  for (const double dot : shape.dots) {
    if (dot > shape.stem_tip + ink.bottom + air) continue;
    shape.dot_x = std::max(shape.dot_x, edge + air);
    shape.right = std::max(shape.right, shape.dot_x + shape_of(Glyph::dot).width());
  }
}

void set_stem(EventShape& shape, const StaffEvent& event) {
  if (event.value.power >= 2 || event.slash) return;
  shape.stemmed = true;
  const double direction = shape.up ? -1 : 1;
  shape.stem_x = shape.up ? shape.head_width - stem / 2 : stem / 2;
  const double join = event.value.power == 1 ? 0.26 : 0.19;  // where the font's heads join it
  shape.stem_from = shape.far_head() + direction * join;
  double length = stem_length;
  if (event.value.power <= -2) length += 0.5;
  if (event.value.power <= -3) length += 0.75;
  shape.stem_tip = shape.near_head() + direction * length;
  // To the middle line at least.
  if (shape.up) shape.stem_tip = std::min(shape.stem_tip, 0.0);
  if (!shape.up) shape.stem_tip = std::max(shape.stem_tip, 0.0);
  if (event.value.power < 0) {
    const int number = std::min(-event.value.power, 3) - 1;
    const Glyph first = shape.up ? Glyph::eighth_flag_up : Glyph::eighth_flag_down;
    shape.flag = static_cast<Glyph>(static_cast<int>(first) + number);
  }
}

}  // namespace

int staff_position(const Pitch& note, Clef clef) noexcept {
  constexpr int treble_middle = 34;  // B4
  constexpr int bass_middle = 22;    // D3
  if (clef == Clef::rhythm) return 0;
  return staff_step(note) - (clef == Clef::treble ? treble_middle : bass_middle);
}

std::optional<Glyph> AccidentalState::sign_for(const Pitch& note, bool tied) {
  if (tied) return std::nullopt;
  // Sharps come in the order F C G D A E B, flats the other way round.
  constexpr std::array<int, 7> order{1, 3, 5, 0, 2, 4, 6};  // of the letters C to B
  const int place = order[static_cast<std::size_t>(note.name().letter())];
  const int in_key = signature_ > place ? 1 : -signature_ > 6 - place ? -1 : 0;
  const auto [found, is_new] = written_.try_emplace(staff_step(note), in_key);
  const int alteration = note.name().alteration();
  if (found->second == alteration) return std::nullopt;
  found->second = alteration;
  switch (alteration) {
    case 0:
      return Glyph::natural;
    case 1:
      return Glyph::sharp;
    case -1:
      return Glyph::flat;
    default:
      return alteration > 0 ? Glyph::double_sharp : Glyph::double_flat;
  }
}

void EventShape::measure_height() {
  if (rest) return;
  top = std::numeric_limits<double>::max();
  bottom = std::numeric_limits<double>::lowest();
  const auto extend = [&](double from, double to) {
    top = std::min(top, from);
    bottom = std::max(bottom, to);
  };
  for (const Head& head : heads) extend(head.y + shape_of(glyph).top, head.y + shape_of(glyph).bottom);
  if (stemmed) extend(std::min(stem_from, stem_tip), std::max(stem_from, stem_tip));
  for (const Sign& sign : signs) extend(sign.y + shape_of(sign.glyph).top, sign.y + shape_of(sign.glyph).bottom);
}

EventShape shape_event(const StaffEvent& event, Clef clef, std::optional<bool> up,
                       const std::vector<std::optional<Glyph>>& signs, bool beamed) {
  if (event.notes.empty() && !event.slash) return shape_rest(event, clef);
  EventShape shape;
  shape.glyph = head_glyph(event);
  shape.head_width = shape_of(shape.glyph).width();
  for (const StaffNote& note : event.notes) {
    const int position = staff_position(note.pitch, clef);
    shape.heads.push_back({0, -position / 2.0, position});
  }
  if (event.slash) shape.heads.push_back({0, 0, 0});
  const int lowest = shape.heads.front().position;
  const int highest = shape.heads.back().position;
  shape.up = up.value_or(clef == Clef::rhythm || event.slash || stem_goes_up(lowest, highest));
  set_stem(shape, event);
  if (beamed) shape.flag.reset();
  set_heads(shape);
  for (const EventShape::Head& head : shape.heads) {
    shape.left = std::max(shape.left, -head.x);
    shape.right = std::max(shape.right, head.x + shape.head_width);
    if (std::abs(head.position) >= 6) {
      shape.left = std::max(shape.left, ledger_reach - head.x);
      shape.right = std::max(shape.right, head.x + shape.head_width + ledger_reach);
    }
  }
  set_signs(shape, signs);
  if (event.value.dotted) set_dots(shape);
  if (shape.flag && shape.up) clear_flag(shape);
  shape.measure_height();
  return shape;
}

}  // namespace romanesca
