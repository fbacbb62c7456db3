#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "cli/formats/html_text.h"
#include "cli/formats/paper/marks.h"
#include "cli/formats/paper/paint.h"

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
      std::visit([&](const auto& each) { write(each); }, mark);
    }
  }
  std::string text;

 private:
  /// The width that the layout counted with holds whatever font the reader's machine has.
  void write(const TextMark& mark) {
    text += fmt::format(
        "<text x=\"{:.2f}\" y=\"{:.2f}\" font-size=\"{:.2f}\"{} fill=\"{}\" textLength=\"{:.2f}\" "
        "lengthAdjust=\"spacingAndGlyphs\">{}</text>\n",
        mark.x, mark.baseline + top_, mark.size, mark.weight == Weight::bold ? " font-weight=\"bold\"" : "",
        colour(mark.ink), mark.box.width, html_text(mark.text));
  }
  void write(const LineMark& mark) {
    text += fmt::format("<path d=\"M{:.2f} {:.2f}L{:.2f} {:.2f}\" stroke=\"{}\" stroke-width=\"{:.2f}\"/>\n", mark.x1,
                        mark.y1 + top_, mark.x2, mark.y2 + top_, colour(mark.ink), mark.width);
  }
  void write(const BoxMark& mark) {
    text += fmt::format(
        "<rect x=\"{:.2f}\" y=\"{:.2f}\" width=\"{:.2f}\" height=\"{:.2f}\" fill=\"{}\" stroke=\"{}\" "
        "stroke-width=\"{:.2f}\"/>\n",
        mark.box.x, mark.box.y + top_, mark.box.width, mark.box.height, colour(mark.fill), colour(mark.outline),
        mark.line_width);
  }
  void write(const RoundMark& mark) {
    const std::string ink = mark.filled ? fmt::format("fill=\"{}\"", colour(mark.ink))
                                        : fmt::format("fill=\"none\" stroke=\"{}\" stroke-width=\"{:.2f}\"",
                                                      colour(mark.ink), mark.line_width);
    text += fmt::format("<ellipse cx=\"{:.2f}\" cy=\"{:.2f}\" rx=\"{:.2f}\" ry=\"{:.2f}\" {}/>\n", mark.x,
                        mark.y + top_, mark.radius_x, mark.radius_y, ink);
  }
  void write(const StrokeMark& mark) {
    std::string path;
    for (std::size_t i = 0; i < mark.points.size(); ++i) {
      const char* sign = i == 0 ? "M" : i % 3 == 1 ? "C" : " ";
      path += fmt::format("{}{:.2f} {:.2f}", sign, mark.points[i].x, mark.points[i].y + top_);
    }
    text +=
        fmt::format("<path d=\"{}\" fill=\"none\" stroke=\"{}\" stroke-width=\"{:.2f}\" stroke-linecap=\"round\"/>\n",
                    path, colour(mark.ink), mark.width);
  }

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
      "<svg xmlns=\"http://www.w3.org/2000/svg\" xml:lang=\"en\" role=\"img\" aria-labelledby=\"title desc\" "
      "width=\"{0:.0f}\" "
      "height=\"{1:.0f}\" viewBox=\"0 0 {0:.0f} {1:.0f}\" font-family=\"DejaVu Sans, sans-serif\">\n",
      width, height);
  svg += fmt::format("<title id=\"title\">{}</title>\n<desc id=\"desc\">{}</desc>\n", html_text(drawing.title),
                     html_text(drawing.description));
  svg += fmt::format("<rect width=\"{:.0f}\" height=\"{:.0f}\" fill=\"#ffffff\"/>\n", width, height);
  return svg + painter.text + "</svg>\n";
}

}  // namespace romanesca
