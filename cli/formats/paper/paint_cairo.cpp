#include <cairo-pdf.h>
#include <fmt/format.h>

#include <algorithm>
#include <new>
#include <optional>
#include <stdexcept>
#include <vector>

#include "cli/formats/paper/paint.h"
#include "cli/formats/paper/pango_text.h"
#include "cli/formats/paper/shaped_text.h"
#include "cli/formats/paper/text_fonts.h"
#include "theory/text/errors.h"

namespace romanesca {
namespace {

cairo_status_t append(void* text, const unsigned char* data, unsigned int length) {
  static_cast<std::string*>(text)->append(reinterpret_cast<const char*>(data), length);
  return CAIRO_STATUS_SUCCESS;
}

/// cairo keeps its first error; it is checked once, at the end.
void check(cairo_status_t status) {
  if (status == CAIRO_STATUS_NO_MEMORY) throw std::bad_alloc();
  if (status != CAIRO_STATUS_SUCCESS) throw std::runtime_error(cairo_status_to_string(status));
}

class CairoPainter {
 public:
  CairoPainter(cairo_t* context, bool tags) : context_(context), tags_(tags) {}

  // NOLINTNEXTLINE(readability-convert-member-functions-to-static): the checker does not look into the lambda
  void paint(const Page& page) {
    for (const Mark& mark : page.marks) {
      std::visit([&](const auto& each) { draw(each); }, mark.shape);
    }
  }

 private:
  void use(Ink ink) {
    const Rgb& colour = rgb(ink);
    cairo_set_source_rgb(context_, colour.red, colour.green, colour.blue);
  }

  void draw(const TextMark& mark) {
    const char* tag = mark.role == TextRole::title ? "H1" : mark.role == TextRole::heading ? "H2" : "P";
    if (tags_) cairo_tag_begin(context_, tag, nullptr);
    use(mark.ink);
    for (const TextRun& run : shaped(mark.text, mark.face).runs) draw_run(mark, run);
    if (tags_) cairo_tag_end(context_, tag);
  }

  void draw_run(const TextMark& mark, const TextRun& run) {
    const std::string text = mark.text.substr(run.begin, run.end - run.begin);
    if (run.source == TextRun::Source::computer) {
      if (!computer_) computer_.emplace(context_);
      computer_->draw(context_, text, mark.x + run.x * mark.size, mark.baseline, mark.size, mark.face);
      return;
    }
    cairo_set_font_face(context_, run.source == TextRun::Source::sign ? cairo_sign_face() : cairo_face(mark.face));
    cairo_set_font_size(context_, mark.size);
    std::vector<cairo_glyph_t> glyphs;
    std::vector<cairo_text_cluster_t> clusters;
    for (std::size_t i = 0; i < run.glyphs.size(); ++i) {
      const TextRun::PlacedGlyph& each = run.glyphs[i];
      glyphs.push_back({each.glyph, mark.x + each.x * mark.size, mark.baseline});
      const bool same_cluster = i > 0 && each.byte == run.glyphs[i - 1].byte;
      const std::size_t begin = clusters.empty() ? 0 : each.byte;
      if (!clusters.empty() && !same_cluster) clusters.back().num_bytes = static_cast<int>(begin - cluster_begin_);
      if (clusters.empty() || !same_cluster) {
        clusters.push_back({0, 0});
        cluster_begin_ = begin;
      }
      ++clusters.back().num_glyphs;
    }
    if (glyphs.empty()) return;
    clusters.back().num_bytes = static_cast<int>(text.size() - cluster_begin_);
    cairo_show_text_glyphs(context_, text.data(), static_cast<int>(text.size()), glyphs.data(),
                           static_cast<int>(glyphs.size()), clusters.data(), static_cast<int>(clusters.size()),
                           cairo_text_cluster_flags_t{});
  }

  void draw(const LineMark& mark) {
    use(mark.ink);
    cairo_set_line_width(context_, mark.width);
    cairo_move_to(context_, mark.x1, mark.y1);
    cairo_line_to(context_, mark.x2, mark.y2);
    cairo_stroke(context_);
  }

  void draw(const BoxMark& mark) {
    cairo_rectangle(context_, mark.box.x, mark.box.y, mark.box.width, mark.box.height);
    use(mark.fill);
    if (mark.line_width <= 0) {
      cairo_fill(context_);
      return;
    }
    cairo_fill_preserve(context_);
    use(mark.outline);
    cairo_set_line_width(context_, mark.line_width);
    cairo_stroke(context_);
  }

  void draw(const RoundMark& mark) {
    cairo_save(context_);
    cairo_translate(context_, mark.x, mark.y);
    cairo_scale(context_, mark.radius_x, mark.radius_y);
    cairo_new_sub_path(context_);
    cairo_arc(context_, 0, 0, 1, 0, 6.283185307179586);
    cairo_restore(context_);
    use(mark.ink);
    cairo_set_line_width(context_, mark.line_width);
    if (mark.filled) {
      cairo_fill(context_);
    } else {
      cairo_stroke(context_);
    }
  }

  void draw(const GlyphMark& mark) {
    const auto x = [&](double spaces) { return mark.x + spaces * mark.space; };
    const auto y = [&](double spaces) { return mark.y + spaces * mark.space; };
    trace_outline(
        shape_of(mark.glyph), [&](double a, double b) { cairo_move_to(context_, x(a), y(b)); },
        [&](double a, double b) { cairo_line_to(context_, x(a), y(b)); },
        [&](double a, double b, double c, double d, double e, double f) {
          cairo_curve_to(context_, x(a), y(b), x(c), y(d), x(e), y(f));
        });
    use(mark.ink);
    cairo_fill(context_);
  }

  void draw(const ShapeMark& mark) {
    if (mark.points.empty()) return;
    use(mark.ink);
    cairo_move_to(context_, mark.points[0].x, mark.points[0].y);
    const std::size_t step = mark.curved ? 3 : 1;
    for (std::size_t i = 1; i + step <= mark.points.size(); i += step) {
      const PagePoint& a = mark.points[i];
      if (!mark.curved) {
        cairo_line_to(context_, a.x, a.y);
        continue;
      }
      const PagePoint& b = mark.points[i + 1];
      const PagePoint& c = mark.points[i + 2];
      cairo_curve_to(context_, a.x, a.y, b.x, b.y, c.x, c.y);
    }
    cairo_close_path(context_);
    cairo_fill(context_);
  }

  cairo_t* context_;
  std::optional<PangoText> computer_;  // made where a letter needs it: it looks for the computer's fonts
  std::size_t cluster_begin_ = 0;
  bool tags_;
};

}  // namespace

std::string paint_pdf(const Drawing& drawing) {
  std::string bytes;
  {
    const SurfacePointer surface(cairo_pdf_surface_create_for_stream(append, &bytes, 595, 842));
    cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_TITLE, drawing.title.c_str());
    cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_SUBJECT, "Chord chart");
    cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_CREATOR, "romanesca");
    // The same input gives the same bytes: no date of today.
    cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_CREATE_DATE, "2000-01-01T00:00:00Z");
    const ContextPointer context(cairo_create(surface.get()));
    CairoPainter painter(context.get(), true);
    int number = 1;
    for (const Page& page : drawing.pages) {
      cairo_pdf_surface_set_size(surface.get(), page.width, page.height);
      if (!page.bookmark.empty()) {
        const std::string link = "page=" + std::to_string(number) + " pos=[0 0]";
        cairo_pdf_surface_add_outline(surface.get(), CAIRO_PDF_OUTLINE_ROOT, page.bookmark.c_str(), link.c_str(),
                                      CAIRO_PDF_OUTLINE_FLAG_OPEN);
      }
      painter.paint(page);
      cairo_show_page(context.get());
      ++number;
    }
    check(cairo_status(context.get()));
    cairo_surface_finish(surface.get());
    check(cairo_surface_status(surface.get()));
  }
  return bytes;
}

std::string paint_png(const Drawing& drawing, double scale) {
  double width = 1;
  double height = 0;
  for (const Page& page : drawing.pages) {
    width = std::max(width, page.width);
    height += page.height;
  }
  constexpr double tallest = 32767;  // pixels, the most that cairo paints
  if (height * scale > tallest) {
    throw Failure(ExitStatus::wrong_input, fmt::format("a picture of {} pages is too tall", drawing.pages.size()),
                  "write .pdf or .svg, or draw a part of it; a picture takes about 19 pages");
  }
  const SurfacePointer surface(cairo_image_surface_create(CAIRO_FORMAT_RGB24, static_cast<int>(width * scale),
                                                          static_cast<int>(std::max(height, 1.0) * scale)));
  check(cairo_surface_status(surface.get()));
  const ContextPointer context(cairo_create(surface.get()));
  cairo_scale(context.get(), scale, scale);
  cairo_set_source_rgb(context.get(), 1, 1, 1);
  cairo_paint(context.get());
  CairoPainter painter(context.get(), false);
  for (const Page& page : drawing.pages) {
    painter.paint(page);
    cairo_translate(context.get(), 0, page.height);
  }
  check(cairo_status(context.get()));
  std::string bytes;
  check(cairo_surface_write_to_png_stream(surface.get(), append, &bytes));
  return bytes;
}

}  // namespace romanesca
