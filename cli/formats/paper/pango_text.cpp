#include "cli/formats/paper/pango_text.h"

#include <fcntl.h>
#include <fontconfig/fontconfig.h>
#include <unistd.h>

#include "theory/text/errors.h"

namespace romanesca {
namespace {

/// Redirects standard error to /dev/null in this scope; fontconfig writes its warnings there.
class ScopedStderrRedirect {
 public:
  ScopedStderrRedirect() : kept_(fcntl(STDERR_FILENO, F_DUPFD_CLOEXEC, STDERR_FILENO + 1)) {
    const int nowhere = open("/dev/null", O_WRONLY | O_CLOEXEC);
    if (nowhere < 0) return;
    if (kept_ >= 0) dup2(nowhere, STDERR_FILENO);
    close(nowhere);
  }
  ~ScopedStderrRedirect() {
    if (kept_ < 0) return;
    dup2(kept_, STDERR_FILENO);
    close(kept_);
  }
  ScopedStderrRedirect(const ScopedStderrRedirect&) = delete;
  ScopedStderrRedirect& operator=(const ScopedStderrRedirect&) = delete;

 private:
  int kept_;
};

bool find_fonts() {
  const ScopedStderrRedirect silent;
  if (FcInit() != FcTrue) return false;
  const FcFontSet* const fonts = FcConfigGetFonts(nullptr, FcSetSystem);
  return fonts != nullptr && fonts->nfont > 0;
}

/// Looks for this computer's fonts, once. Throws Failure (file_refused) if there is none.
void load_fonts() {
  static const bool found = find_fonts();
  if (found) return;
  throw Failure(ExitStatus::file_refused, "this computer has no font to write the page with",
                "install one, like the package fonts-dejavu-core");
}

}  // namespace

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

void PangoText::set(const std::string& text, double size, Face face) {
  const FontPointer font(pango_font_description_new());
  pango_font_description_set_family(font.get(), face == Face::figures ? "sans-serif" : "serif");
  pango_font_description_set_weight(
      font.get(), face == Face::bold || face == Face::figures ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
  pango_font_description_set_style(font.get(), face == Face::italic ? PANGO_STYLE_ITALIC : PANGO_STYLE_NORMAL);
  pango_font_description_set_absolute_size(font.get(), size * PANGO_SCALE);
  pango_layout_set_font_description(layout_.get(), font.get());
  pango_layout_set_text(layout_.get(), text.c_str(), static_cast<int>(text.size()));
}

double PangoText::width(const std::string& text, double size, Face face) {
  set(text, size, face);
  PangoRectangle logical;
  pango_layout_get_extents(layout_.get(), nullptr, &logical);
  return static_cast<double>(logical.width) / PANGO_SCALE;
}

void PangoText::draw(cairo_t* context, const std::string& text, double x, double baseline, double size, Face face) {
  set(text, size, face);
  cairo_move_to(context, x, baseline);
  pango_cairo_show_layout_line(context, pango_layout_get_line_readonly(layout_.get(), 0));
}

}  // namespace romanesca
