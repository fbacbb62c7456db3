#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <string>
#include <variant>

#include "cli/formats/html_text.h"
#include "cli/formats/paper/paint.h"
#include "cli/formats/paper/sign_font.h"
#include "cli/formats/paper/text_fonts.h"

namespace romanesca {
namespace {

std::string colour(Ink ink) {
  const Rgb& c = rgb(ink);
  const auto part = [](double share) { return std::lround(share * 255); };
  return fmt::format("#{:02x}{:02x}{:02x}", part(c.red), part(c.green), part(c.blue));
}

/// Writes marks, moved down by the pages above them.
class SvgPainter {
 public:
  void paint(const Page& page, double top) {
    top_ = top;
    for (const Mark& mark : page.marks) {
      std::visit([&](const auto& each) { write(each); }, mark.shape);
    }
  }
  std::string text;

 private:
  /// Signs of music are drawn, so that they look the same everywhere; their characters stand there unseen, to be found
  /// and copied.
  void write(const TextMark& mark) {
    const ShapedText& shape = shaped(mark.text, mark.face);
    for (std::size_t i = 0; i < shape.runs.size(); ++i) {
      const TextRun& run = shape.runs[i];
      const double end = i + 1 < shape.runs.size() ? shape.runs[i + 1].x : shape.advance;
      const double x = mark.x + run.x * mark.size;
      const bool sign = run.source == TextRun::Source::sign;
      if (sign) {
        for (const Mark& each : sign_marks(text_signs()[run.glyphs[0].glyph], x, mark.baseline, mark.size, mark.ink)) {
          std::visit([&](const auto& part) { write(part); }, each.shape);
        }
      }
      write_run(mark, mark.text.substr(run.begin, run.end - run.begin), x, (end - run.x) * mark.size, !sign);
    }
  }

  /// The width that the layout counted with holds whatever font the reader's machine has.
  void write_run(const TextMark& mark, const std::string& words, double x, double width, bool seen) {
    const char* const family =
        mark.face == Face::figures ? " font-family=\"TeX Gyre Heros Cn, Arial Narrow, sans-serif\"" : "";
    const bool heavy = mark.face == Face::bold || mark.face == Face::figures;
    text += fmt::format(
        "<text x=\"{:.2f}\" y=\"{:.2f}\" font-size=\"{:.2f}\"{}{}{} fill=\"{}\" textLength=\"{:.2f}\" "
        "lengthAdjust=\"spacingAndGlyphs\">{}</text>\n",
        x, mark.baseline + top_, mark.size, family, heavy ? " font-weight=\"bold\"" : "",
        mark.face == Face::italic ? " font-style=\"italic\"" : "", seen ? colour(mark.ink) : "none", width,
        html_text(words));
  }
  void write(const LineMark& mark) {
    text += fmt::format("<path d=\"M{:.2f} {:.2f}L{:.2f} {:.2f}\" stroke=\"{}\" stroke-width=\"{:.2f}\"/>\n", mark.x1,
                        mark.y1 + top_, mark.x2, mark.y2 + top_, colour(mark.ink), mark.width);
  }
  void write(const BoxMark& mark) {
    text += fmt::format("<rect x=\"{:.2f}\" y=\"{:.2f}\" width=\"{:.2f}\" height=\"{:.2f}\" fill=\"{}\"{}/>\n",
                        mark.box.x, mark.box.y + top_, mark.box.width, mark.box.height, colour(mark.fill),
                        mark.line_width > 0 ? fmt::format(" stroke=\"{}\" stroke-width=\"{:.2f}\"",
                                                          colour(mark.outline), mark.line_width)
                                            : "");
  }
  void write(const RoundMark& mark) {
    const std::string ink = mark.filled ? fmt::format("fill=\"{}\"", colour(mark.ink))
                                        : fmt::format("fill=\"none\" stroke=\"{}\" stroke-width=\"{:.2f}\"",
                                                      colour(mark.ink), mark.line_width);
    text += fmt::format("<ellipse cx=\"{:.2f}\" cy=\"{:.2f}\" rx=\"{:.2f}\" ry=\"{:.2f}\" {}/>\n", mark.x,
                        mark.y + top_, mark.radius_x, mark.radius_y, ink);
  }
  /// Each sign's outline is written once, where it is needed first.
  void write(const GlyphMark& mark) {
    const auto number = static_cast<std::size_t>(mark.glyph);
    if (!known_[number]) {
      known_[number] = true;
      std::string path;
      trace_outline(
          shape_of(mark.glyph), [&](double x, double y) { path += fmt::format("M{:.3g} {:.3g}", x, y); },
          [&](double x, double y) { path += fmt::format("L{:.3g} {:.3g}", x, y); },
          [&](double a, double b, double c, double d, double e, double f) {
            path += fmt::format("C{:.3g} {:.3g} {:.3g} {:.3g} {:.3g} {:.3g}", a, b, c, d, e, f);
          });
      text += fmt::format("<defs><path id=\"music-{}\" d=\"{}Z\"/></defs>\n", number, path);
    }
    text += fmt::format("<use href=\"#music-{}\" transform=\"translate({:.2f} {:.2f}) scale({:.2f})\" fill=\"{}\"/>\n",
                        number, mark.x, mark.y + top_, mark.space, colour(mark.ink));
  }
  void write(const ShapeMark& mark) {
    std::string path;
    for (std::size_t i = 0; i < mark.points.size(); ++i) {
      const char* sign = i == 0 ? "M" : !mark.curved ? "L" : i % 3 == 1 ? "C" : " ";
      path += fmt::format("{}{:.2f} {:.2f}", sign, mark.points[i].x, mark.points[i].y + top_);
    }
    text += fmt::format("<path d=\"{}Z\" fill=\"{}\"/>\n", path, colour(mark.ink));
  }

  std::array<bool, glyph_count> known_{};
  double top_ = 0;
};

}  // namespace

std::string paint_svg(const Drawing& drawing) {
  double width = 0;
  double height = 0;
  SvgPainter painter;
  for (const Page& page : drawing.pages) {
    painter.paint(page, height);
    width = std::max(width, page.width);
    height += page.height;
  }
  std::string svg = fmt::format(
      "<svg xmlns=\"http://www.w3.org/2000/svg\" xml:lang=\"en\" xml:space=\"preserve\" role=\"img\" "
      "aria-labelledby=\"title desc\" "
      "width=\"{0:.0f}\" "
      "height=\"{1:.0f}\" viewBox=\"0 0 {0:.0f} {1:.0f}\" font-family=\"TeX Gyre Schola, C059, Century Schoolbook, "
      "serif\">\n",
      width, height);
  svg += fmt::format("<title id=\"title\">{}</title>\n<desc id=\"desc\">{}</desc>\n", html_text(drawing.title),
                     html_text(drawing.description));
  svg += fmt::format("<rect width=\"{:.0f}\" height=\"{:.0f}\" fill=\"#ffffff\"/>\n", width, height);
  return svg + painter.text + "</svg>\n";
}

}  // namespace romanesca
