#pragma once

#include <cairo.h>
#include <pango/pangocairo.h>

#include <memory>
#include <string>

#include "cli/formats/engraving/marks.h"

namespace romanesca {

/// Frees what cairo and pango hand out.
struct CairoRelease {
  void operator()(cairo_surface_t* surface) const { cairo_surface_destroy(surface); }
  void operator()(cairo_t* context) const { cairo_destroy(context); }
  void operator()(PangoLayout* layout) const { g_object_unref(layout); }
  void operator()(PangoFontDescription* font) const { pango_font_description_free(font); }
};
using SurfacePointer = std::unique_ptr<cairo_surface_t, CairoRelease>;
using ContextPointer = std::unique_ptr<cairo_t, CairoRelease>;
using LayoutPointer = std::unique_ptr<PangoLayout, CairoRelease>;
using FontPointer = std::unique_ptr<PangoFontDescription, CairoRelease>;

/// Sets words in a font of this computer, for letters that the program's own fonts lack; without hinting, so that they
/// measure the same at every size.
class PangoText {
 public:
  explicit PangoText(cairo_t* context);

  [[nodiscard]] double width(const std::string& text, double size, Face face);
  /// Draws with the context's colour, the baseline's left end at the point.
  void draw(cairo_t* context, const std::string& text, double x, double baseline, double size, Face face);

  /// One for measuring, on a surface without ink.
  static PangoText& shared();

 private:
  void set(const std::string& text, double size, Face face);

  LayoutPointer layout_;
};

}  // namespace romanesca
