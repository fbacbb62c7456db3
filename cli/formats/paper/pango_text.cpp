#include "cli/formats/paper/pango_text.h"

#include "cli/formats/paper/fonts.h"
#include "cli/formats/paper/text_size.h"

namespace romanesca {

PangoText::PangoText(cairo_t* context) : layout_(pango_cairo_create_layout(context)) {
  cairo_font_options_t* options = cairo_font_options_create();
  cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
  cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
  pango_cairo_context_set_font_options(pango_layout_get_context(layout_.get()), options);
  cairo_font_options_destroy(options);
  pango_cairo_context_set_resolution(pango_layout_get_context(layout_.get()), 72);  // a point is a unit
}

PangoText& PangoText::shared() {
  load_fonts();
  static const SurfacePointer surface(cairo_recording_surface_create(CAIRO_CONTENT_COLOR_ALPHA, nullptr));
  static const ContextPointer context(cairo_create(surface.get()));
  static PangoText text(context.get());
  return text;
}

void PangoText::set(const std::string& text, double size, Weight weight) {
  const FontPointer font(pango_font_description_new());
  pango_font_description_set_family(font.get(), font_family);
  pango_font_description_set_weight(font.get(), weight == Weight::bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
  pango_font_description_set_absolute_size(font.get(), size * PANGO_SCALE);
  pango_layout_set_font_description(layout_.get(), font.get());
  pango_layout_set_text(layout_.get(), text.c_str(), static_cast<int>(text.size()));
}

double PangoText::width(const std::string& text, double size, Weight weight) {
  set(text, size, weight);
  PangoRectangle logical;
  pango_layout_get_extents(layout_.get(), nullptr, &logical);
  return static_cast<double>(logical.width) / PANGO_SCALE;
}

void PangoText::draw(cairo_t* context, const TextMark& mark) {
  set(mark.text, mark.size, mark.weight);
  cairo_move_to(context, mark.x, mark.baseline);
  pango_cairo_show_layout_line(context, pango_layout_get_line_readonly(layout_.get(), 0));
}

}  // namespace romanesca
