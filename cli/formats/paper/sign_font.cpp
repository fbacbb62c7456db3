#include "cli/formats/paper/sign_font.h"

#include <algorithm>
#include <array>

namespace romanesca {
namespace {

constexpr double side = 0.04;        // air on either side
constexpr double stem_length = 2.9;  // in spaces of the sign: shorter than on a staff, as high as a capital
constexpr double stem_width = 0.14;

// A flat's bowl stands on the baseline; a sharp and a natural are centred on the capitals, 0.72 of the size high.
constexpr std::array<TextSign, 6> sign_table{{
    {U'\u266D', Glyph::flat, 0.36, 0.235, false},
    {U'\u266F', Glyph::sharp, 0.29, 0.36, false},
    {U'\u266E', Glyph::natural, 0.29, 0.36, false},
    {U'\U0001D12A', Glyph::double_sharp, 0.36, 0.30, false},
    {U'\U0001D12B', Glyph::double_flat, 0.36, 0.235, false},
    {U'\u2669', Glyph::black_head, 0.25, 0.137, true},
}};

double origin_of(const TextSign& sign) { return side - shape_of(sign.glyph).left * sign.space; }

cairo_status_t draw_sign(cairo_scaled_font_t* /*font*/, unsigned long place, cairo_t* context,
                         cairo_text_extents_t* extents) {
  if (place >= sign_table.size()) return CAIRO_STATUS_USER_FONT_ERROR;
  const TextSign& sign = sign_table[place];
  const GlyphShape& shape = shape_of(sign.glyph);
  const Box ink = sign_ink(sign);
  extents->x_advance = sign_advance(sign);
  extents->x_bearing = ink.x;
  extents->y_bearing = ink.y;
  extents->width = ink.width;
  extents->height = ink.height;
  const double x0 = origin_of(sign);
  const auto x = [&](double spaces) { return x0 + spaces * sign.space; };
  const auto y = [&](double spaces) { return spaces * sign.space - sign.rise; };
  trace_outline(
      shape, [&](double a, double b) { cairo_move_to(context, x(a), y(b)); },
      [&](double a, double b) { cairo_line_to(context, x(a), y(b)); },
      [&](double a, double b, double c, double d, double e, double f) {
        cairo_curve_to(context, x(a), y(b), x(c), y(d), x(e), y(f));
      });
  if (sign.stem) {
    const double top = y(shape.stem_y - stem_length);
    cairo_rectangle(context, x(shape.right - stem_width), top, stem_width * sign.space, y(shape.stem_y) - top);
  }
  cairo_fill(context);
  return CAIRO_STATUS_SUCCESS;
}

cairo_status_t font_extents(cairo_scaled_font_t* /*font*/, cairo_t* /*context*/, cairo_font_extents_t* extents) {
  extents->ascent = 1;
  extents->descent = 0.3;
  extents->height = 1.3;
  extents->max_x_advance = 1;
  extents->max_y_advance = 0;
  return CAIRO_STATUS_SUCCESS;
}

}  // namespace

std::span<const TextSign> text_signs() { return sign_table; }

double sign_advance(const TextSign& sign) { return shape_of(sign.glyph).width() * sign.space + 2 * side; }

Box sign_ink(const TextSign& sign) {
  const GlyphShape& shape = shape_of(sign.glyph);
  const double top = (sign.stem ? std::min(shape.top, shape.stem_y - stem_length) : shape.top) * sign.space - sign.rise;
  return {side, top, shape.width() * sign.space, shape.bottom * sign.space - sign.rise - top};
}

std::vector<Mark> sign_marks(const TextSign& sign, double x, double baseline, double size, Ink ink) {
  const double space = sign.space * size;
  const GlyphMark glyph{sign.glyph, x + origin_of(sign) * size, baseline - sign.rise * size, space, ink};
  std::vector<Mark> marks{{glyph, MarkKind::text, 0}};
  if (sign.stem) {
    const GlyphShape& shape = shape_of(sign.glyph);
    const double stem_x = glyph.x + (shape.right - stem_width / 2) * space;
    const double from = glyph.y + shape.stem_y * space;
    marks.push_back(
        {LineMark{stem_x, from, stem_x, from - stem_length * space, stem_width * space, ink}, MarkKind::text, 0});
  }
  return marks;
}

cairo_font_face_t* cairo_sign_face() {
  static cairo_font_face_t* const face = [] {
    cairo_font_face_t* made = cairo_user_font_face_create();
    cairo_user_font_face_set_init_func(made, font_extents);
    cairo_user_font_face_set_render_glyph_func(made, draw_sign);
    return made;
  }();
  return face;
}

}  // namespace romanesca
