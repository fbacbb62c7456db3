#include "cli/formats/paper/text_fonts.h"
#include "cli/formats/paper/text_signs.h"

namespace romanesca {
namespace {

cairo_status_t draw_sign(cairo_scaled_font_t* /*font*/, unsigned long place, cairo_t* context,
                         cairo_text_extents_t* extents) {
  if (place >= text_signs().size()) return CAIRO_STATUS_USER_FONT_ERROR;
  const TextSign& sign = text_signs()[place];
  const GlyphShape& shape = shape_of(sign.glyph);
  const Box ink = sign_ink(sign);
  extents->x_advance = sign_advance(sign);
  extents->x_bearing = ink.x;
  extents->y_bearing = ink.y;
  extents->width = ink.width;
  extents->height = ink.height;
  const double x0 = sign_origin(sign);
  const auto x = [&](double spaces) { return x0 + spaces * sign.space; };
  const auto y = [&](double spaces) { return spaces * sign.space - sign.rise; };
  trace_outline(
      shape, [&](double a, double b) { cairo_move_to(context, x(a), y(b)); },
      [&](double a, double b) { cairo_line_to(context, x(a), y(b)); },
      [&](double a, double b, double c, double d, double e, double f) {
        cairo_curve_to(context, x(a), y(b), x(c), y(d), x(e), y(f));
      });
  if (sign.stem) {
    const double top = y(shape.stem_y - text_stem_length);
    cairo_rectangle(context, x(shape.right - text_stem_width), top, text_stem_width * sign.space,
                    y(shape.stem_y) - top);
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
