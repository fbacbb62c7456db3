#include "cli/formats/engraving/staff_signs.h"

#include <algorithm>
#include <array>
#include <cstdlib>
#include <string>

#include "cli/formats/engraving/engraving_rules.h"

namespace romanesca {
namespace {

using namespace engraving;

/// Half spaces above the middle line: F5 C5 G5 D5 A4 E5 B4 and B4 E5 A4 D5 G4 C5 F4 in the treble.
constexpr std::array<int, 7> sharp_positions{4, 1, 5, 2, -1, 3, 0};
constexpr std::array<int, 7> flat_positions{0, 3, -1, 2, -2, 1, -3};

double sign_advance_in_key(Glyph sign) { return shape_of(sign).width() + (sign == Glyph::sharp ? 0.12 : 0.08); }

double upright(std::vector<Mark>& marks, double x, double top, double bottom, double width, int group) {
  marks.push_back({LineMark{x + width / 2, top, x + width / 2, bottom, width, Ink::text}, MarkKind::bar_line, group});
  return width;
}

}  // namespace

void put_staff_lines(std::vector<Mark>& marks, double x, double width, double top, double space, Clef clef) {
  for (int line = 0; line < 5; ++line) {
    if (clef == Clef::rhythm && line != 2) continue;
    const double y = top + line * space;
    marks.push_back({LineMark{x, y, x + width, y, staff_line * space, Ink::text}, MarkKind::staff, 0});
  }
}

double clef_width(Clef clef, double space) {
  if (clef == Clef::rhythm) return 0;
  return shape_of(clef == Clef::treble ? Glyph::treble_clef : Glyph::bass_clef).width() * space;
}

double put_clef(std::vector<Mark>& marks, double x, double top, double space, Clef clef) {
  if (clef == Clef::rhythm) return 0;
  const Glyph glyph = clef == Clef::treble ? Glyph::treble_clef : Glyph::bass_clef;
  const double y = top + (clef == Clef::treble ? 3 : 1) * space;  // the line that the clef names
  marks.push_back({GlyphMark{glyph, x - shape_of(glyph).left * space, y, space, Ink::text}, MarkKind::clef, 0});
  return shape_of(glyph).width() * space;
}

double signature_width(const Key& key, double space) {
  const int count = key.signature();
  if (count == 0) return 0;
  return std::abs(count) * sign_advance_in_key(count > 0 ? Glyph::sharp : Glyph::flat) * space;
}

double put_signature(std::vector<Mark>& marks, double x, double top, double space, Clef clef, const Key& key) {
  const int count = key.signature();
  const Glyph sign = count > 0 ? Glyph::sharp : Glyph::flat;
  const int group = next_group(marks);
  double at = x;
  for (int i = 0; i < std::min(std::abs(count), 7); ++i) {
    const auto place = static_cast<std::size_t>(i);
    const int position = (count > 0 ? sharp_positions[place] : flat_positions[place]) - (clef == Clef::bass ? 2 : 0);
    marks.push_back(
        {GlyphMark{sign, at - shape_of(sign).left * space, top + (2 - position / 2.0) * space, space, Ink::text},
         MarkKind::signature, group});
    at += sign_advance_in_key(sign) * space;
  }
  return at - x;
}

double number_width(int number, double height) {
  const double space = height / 2;
  double width = 0;
  for (const char digit : std::to_string(number)) width += shape_of(digit_glyph(digit - '0')).width() * space;
  return width;
}

void put_number(std::vector<Mark>& marks, double centre, double baseline, double height, int number, MarkKind kind,
                int group) {
  const double space = height / 2;
  double x = centre - number_width(number, height) / 2;
  for (const char digit : std::to_string(number)) {
    const Glyph glyph = digit_glyph(digit - '0');
    marks.push_back({GlyphMark{glyph, x - shape_of(glyph).left * space, baseline, space, Ink::text}, kind, group});
    x += shape_of(glyph).width() * space;
  }
}

double meter_width(const Meter& meter, double space) {
  return std::max(number_width(meter.upper, 2 * space), number_width(meter.lower, 2 * space));
}

double put_meter(std::vector<Mark>& marks, double x, double top, double space, const Meter& meter) {
  const double width = meter_width(meter, space);
  const int group = next_group(marks);
  put_number(marks, x + width / 2, top + 2 * space, 2 * space, meter.upper, MarkKind::meter, group);
  put_number(marks, x + width / 2, top + 4 * space, 2 * space, meter.lower, MarkKind::meter, group);
  return width;
}

double bar_line_width(BarLine line, double space) {
  const double dots = shape_of(Glyph::dot).width() + repeat_dots;
  switch (line) {
    case BarLine::none:
      return 0;
    case BarLine::single:
      return thin_line * space;
    case BarLine::twofold:
      return (2 * thin_line + line_gap) * space;
    case BarLine::final:
      return (thin_line + line_gap + thick_line) * space;
    case BarLine::start_repeat:
    case BarLine::end_repeat:
      return (thin_line + line_gap + thick_line + dots) * space;
  }
  return 0;
}

double put_bar_line(std::vector<Mark>& marks, double x, double top, double bottom, double space, BarLine line,
                    const std::vector<double>& dots) {
  const int group = next_group(marks);
  const double thin = thin_line * space;
  const double thick = thick_line * space;
  const double gap = line_gap * space;
  const auto put_dots = [&](double left) {
    for (const double y : dots) {
      marks.push_back({GlyphMark{Glyph::dot, left - shape_of(Glyph::dot).left * space, y, space, Ink::text},
                       MarkKind::bar_line, group});
    }
  };
  double at = x;
  switch (line) {
    case BarLine::none:
      break;
    case BarLine::single:
      upright(marks, at, top, bottom, thin, group);
      break;
    case BarLine::twofold:
      upright(marks, at, top, bottom, thin, group);
      upright(marks, at + thin + gap, top, bottom, thin, group);
      break;
    case BarLine::end_repeat:
      put_dots(at);
      at += (shape_of(Glyph::dot).width() + repeat_dots) * space;
      [[fallthrough]];
    case BarLine::final:
      upright(marks, at, top, bottom, thin, group);
      upright(marks, at + thin + gap, top, bottom, thick, group);
      break;
    case BarLine::start_repeat:
      upright(marks, at, top, bottom, thick, group);
      upright(marks, at + thick + gap, top, bottom, thin, group);
      put_dots(at + thick + gap + thin + repeat_dots * space);
      break;
  }
  return bar_line_width(line, space);
}

}  // namespace romanesca
