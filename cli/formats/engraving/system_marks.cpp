#include <algorithm>
#include <cmath>
#include <cstdlib>

#include "cli/formats/engraving/engraving_rules.h"
#include "cli/formats/engraving/staff_signs.h"
#include "cli/formats/engraving/system_engraver.h"
#include "cli/formats/engraving/ties.h"

// The drawing of a line of music whose places are settled.

namespace romanesca {

using namespace engraving;

void SystemEngraver::put(std::vector<Mark>& marks, double x, double y) const {
  put_prefix(marks, x, y);
  put_bar_lines(marks, x, y);
  for (const Staff& staff : staves_) {
    const double middle = y + (staff.y + 2) * space();
    for (const Placed& placed : staff.events) put_event(marks, staff, placed, x, middle);
    for (const Beam& each : staff.beams)
      put_beams(marks, each.line, each.events, x, middle, space(), next_group(marks));
    put_ties(marks, staff, x, middle);
    put_tuplets(marks, staff, x, middle);
  }
}

void SystemEngraver::put_prefix(std::vector<Mark>& marks, double x, double y) const {
  double clefs = 0;
  for (const Staff& staff : staves_) clefs = std::max(clefs, clef_width(staff.clef, space()));
  for (const Staff& staff : staves_) {
    const double top = y + staff.y * space();
    put_staff_lines(marks, x, width(), top, space(), staff.clef);
    double at = x;
    if (system_.shows_key && clefs > 0) {
      at += clef_left * space();
      put_clef(marks, at, top, space(), staff.clef);
      at += clefs;
      if (system_.key.signature() != 0) {
        at += prefix_gap * space();
        put_signature(marks, at, top, space(), staff.clef, system_.key);
        at += signature_width(system_.key, space());
      }
    }
    if (system_.shows_meter) put_meter(marks, at + prefix_gap * space(), top, space(), *system_.shows_meter);
  }
  const double edge = staff_line * space() / 2;
  const double bottom = y + height() + edge;
  if (staves_.size() > 1) {
    const double thin = thin_line * space();
    marks.push_back({LineMark{x + thin / 2, y - edge, x + thin / 2, bottom, thin, Ink::text}, MarkKind::bar_line, 0});
  }
  if (system_.brace) {
    const Glyph brace = brace_glyph(height() / space());
    marks.push_back({GlyphMark{brace, x - 0.3 * space(), y + height() / 2, space(), Ink::text}, MarkKind::brace, 0});
  }
}

void SystemEngraver::put_bar_lines(std::vector<Mark>& marks, double x, double y) const {
  const double edge = staff_line * space() / 2;
  const bool rhythm = staves_.size() == 1 && staves_.front().clef == Clef::rhythm;
  const double inset = rhythm ? space() : 0;
  const auto put = [&](double top, double bottom, const std::vector<double>& dots) {
    for (std::size_t i = 0; i < columns_.size(); ++i) {
      if (!columns_[i].bar_line) continue;
      put_bar_line(marks, x + column_x_[i] * space(), top - edge + inset, bottom + edge - inset, space(),
                   columns_[i].line, dots);
    }
  };
  std::vector<double> dots;
  for (const Staff& staff : staves_) {
    const double top = y + staff.y * space();
    std::vector<double> own;
    for (const double line : {1.5, 2.5}) own.push_back(top + line * space());
    // Words stand between the staves: the lines are broken there, as over a singer's words.
    if (system_.words_height > 0) put(top, top + 4 * space(), own);
    dots.insert(dots.end(), own.begin(), own.end());
  }
  if (system_.words_height <= 0) put(y, y + height(), dots);
}

void SystemEngraver::put_ledgers(std::vector<Mark>& marks, const EventShape& shape, double x, double middle,
                                 int group) const {
  const double reach = shape.signs.empty() ? ledger_reach : ledger_reach_by_sign;
  for (const int side : {1, -1}) {
    int farthest = 0;
    for (const EventShape::Head& head : shape.heads) farthest = std::max(farthest, side * head.position);
    for (int line = 6; line <= farthest; line += 2) {
      double left = 1000;
      double right = -1000;
      for (const EventShape::Head& head : shape.heads) {
        if (side * head.position < line) continue;
        left = std::min(left, head.x);
        right = std::max(right, head.x + shape.head_width);
      }
      const double y = middle - side * line * space() / 2;
      marks.push_back({LineMark{x + (left - reach) * space(), y, x + (right + reach) * space(), y,
                                ledger_line * space(), Ink::text},
                       MarkKind::ledger, group});
    }
  }
}

void SystemEngraver::put_event(std::vector<Mark>& marks, const Staff& staff, const Placed& placed, double x,
                               double middle) const {
  const EventShape& shape = placed.shape;
  const double left = x + placed.x * space();
  const int group = next_group(marks);
  const auto glyph = [&](Glyph sign, double gx, double gy, MarkKind kind, int in_group) {
    marks.push_back({GlyphMark{sign, left + gx * space(), middle + gy * space(), space(), Ink::text}, kind, in_group});
  };
  if (shape.rest) {
    glyph(shape.glyph, shape.heads[0].x, shape.heads[0].y, MarkKind::rest, group);
  } else {
    put_ledgers(marks, shape, left, middle, group);
    for (const EventShape::Head& head : shape.heads) glyph(shape.glyph, head.x, head.y, MarkKind::head, group);
    for (const EventShape::Sign& sign : shape.signs) glyph(sign.glyph, sign.x, sign.y, MarkKind::accidental, 0);
    if (shape.stemmed) {
      const double stem_x = left + shape.stem_x * space();
      marks.push_back({LineMark{stem_x, middle + shape.stem_from * space(), stem_x, middle + shape.stem_tip * space(),
                                stem * space(), Ink::text},
                       MarkKind::stem, group});
    }
    if (shape.flag) glyph(*shape.flag, shape.stem_x - stem / 2, shape.stem_tip, MarkKind::flag, group);
  }
  for (const double dot : shape.dots) glyph(Glyph::dot, shape.dot_x, dot, MarkKind::dot, 0);
  put_fingers(marks, staff, placed, left, middle);
}

void SystemEngraver::put_fingers(std::vector<Mark>& marks, const Staff& staff, const Placed& placed, double x,
                                 double middle) const {
  const bool above = fingers_above(staff);
  const double figure = system_.finger_height;
  const double centre = x + placed.shape.head_width * space() / 2;
  double y = middle + placed.finger_y * space();
  const int group = next_group(marks);
  const auto& notes = placed.event->notes;
  for (std::size_t i = 0; i < notes.size(); ++i) {
    const StaffNote& note = above ? notes[i] : notes[notes.size() - 1 - i];
    if (note.finger <= 0) continue;
    put_number(marks, centre, above ? y : y + figure, figure, note.finger, MarkKind::finger, group);
    y += (above ? -1 : 1) * (figure + 0.15 * space());
  }
}

void SystemEngraver::put_ties(std::vector<Mark>& marks, const Staff& staff, double x, double middle) const {
  for (std::size_t i = 0; i < staff.events.size(); ++i) {
    const Placed& here = staff.events[i];
    const Placed* const next = i + 1 < staff.events.size() ? &staff.events[i + 1] : nullptr;
    const auto& notes = here.event->notes;
    for (std::size_t n = 0; n < notes.size(); ++n) {
      if (notes[n].from_before && i == 0) {
        put_tie(marks,
                tie_from_before(here.shape, n, here.x,
                                std::max(columns_.front().right + 0.4, here.x - here.shape.left - 1.6)),
                x, middle, space());
      }
      if (!notes[n].tied) continue;
      if (next == nullptr) {
        put_tie(marks, tie_between(here.shape, n, here.x, nullptr, 0, column_x_.back() - 0.3), x, middle, space());
        continue;
      }
      const auto& following = next->event->notes;
      for (std::size_t k = 0; k < following.size(); ++k) {
        if (following[k].pitch == notes[n].pitch) {
          put_tie(marks, tie_between(here.shape, n, here.x, &next->shape, k, next->x), x, middle, space());
        }
      }
    }
  }
}

void SystemEngraver::put_tuplets(std::vector<Mark>& marks, const Staff& staff, double x, double middle) const {
  constexpr double figure = 1.4;  // height of the number, in spaces
  constexpr double hook = 0.7;
  constexpr double air = 0.4;
  for (const Tuplets& tuplet : staff.tuplets) {
    const Placed& first = staff.events[tuplet.first];
    const Placed& last = staff.events[tuplet.last];
    const double from = x + first.x * space();
    const double to = x + (last.x + last.shape.head_width) * space();
    const double y = middle + tuplet.y * space();
    const double centre = (from + to) / 2;
    const int group = next_group(marks);
    put_number(marks, centre, y + figure / 2 * space(), figure * space(), tuplet.number, MarkKind::tuplet, group);
    if (!tuplet.bracket) continue;
    const double half = number_width(tuplet.number, figure * space()) / 2 + air * space();
    const double width = thin_line * space();
    const auto line = [&](double x1, double y1, double x2, double y2) {
      marks.push_back({LineMark{x1, y1, x2, y2, width, Ink::text}, MarkKind::tuplet, group});
    };
    if (from < centre - half) line(from, y, centre - half, y);
    if (centre + half < to) line(centre + half, y, to, y);
    line(from, y - width / 2, from, y + hook * space());
    line(to, y - width / 2, to, y + hook * space());
  }
}

}  // namespace romanesca
