#include <fmt/format.h>

#include <algorithm>
#include <string>
#include <variant>

#include "cli/formats/engraving/svg_marks.h"
#include "cli/formats/html_text.h"
#include "cli/formats/paper/page_flow.h"
#include "cli/formats/paper/paint.h"
#include "cli/formats/paper/shaped_text.h"
#include "cli/formats/paper/text_signs.h"

namespace romanesca {
namespace {

constexpr const char* families = "TeX Gyre Schola, C059, Century Schoolbook, serif";

/// Signs of music are drawn, so that they look the same everywhere; their characters stand there unseen, to be found
/// and copied.
void write_runs(SvgWriter& writer, const TextMark& mark, double down) {
  const ShapedText& shape = shaped(mark.text, mark.face);
  for (std::size_t i = 0; i < shape.runs.size(); ++i) {
    const TextRun& run = shape.runs[i];
    const double end = i + 1 < shape.runs.size() ? shape.runs[i + 1].x : shape.advance;
    const double x = mark.x + run.x * mark.size;
    const bool sign = run.source == TextRun::Source::sign;
    if (sign) {
      const TextSign& drawn = text_signs()[run.glyphs[0].glyph];
      for (const Mark& each : sign_marks(drawn, x, mark.baseline, mark.size, mark.ink)) writer.write(each, down);
    }
    writer.write_text(mark, mark.text.substr(run.begin, run.end - run.begin), x, (end - run.x) * mark.size, down,
                      !sign);
  }
}

void write_page(SvgWriter& writer, const Page& page, double down) {
  for (const Mark& mark : page.marks) {
    if (const auto* text = std::get_if<TextMark>(&mark.shape)) {
      write_runs(writer, *text, down);
    } else {
      writer.write(mark, down);
    }
  }
}

/// Where the ink of a mark ends below.
double lower_end(const Mark& mark) {
  struct Reader {
    double operator()(const TextMark& text) const { return text.box.y + text.box.height; }
    double operator()(const LineMark& line) const { return std::max(line.y1, line.y2); }
    double operator()(const BoxMark& box) const { return box.box.y + box.box.height; }
    double operator()(const RoundMark& round) const { return round.y + round.radius_y; }
    double operator()(const GlyphMark& glyph) const { return glyph.y + shape_of(glyph.glyph).bottom * glyph.space; }
    double operator()(const ShapeMark& shape) const {
      double end = 0;
      for (const PagePoint& point : shape.points) end = std::max(end, point.y);
      return end;
    }
  };
  return std::visit(Reader{}, mark.shape);
}

}  // namespace

std::string paint_svg(const Drawing& drawing) {
  double width = 0;
  double height = 0;
  SvgWriter writer;
  for (const Page& page : drawing.pages) {
    write_page(writer, page, height);
    width = std::max(width, page.width);
    height += page.height;
  }
  std::string svg = fmt::format(
      "<svg xmlns=\"http://www.w3.org/2000/svg\" xml:lang=\"en\" xml:space=\"preserve\" role=\"img\" "
      "aria-labelledby=\"title desc\" width=\"{0:.0f}\" height=\"{1:.0f}\" viewBox=\"0 0 {0:.0f} {1:.0f}\" "
      "font-family=\"{2}\">\n",
      width, height, families);
  svg += fmt::format("<title id=\"title\">{}</title>\n<desc id=\"desc\">{}</desc>\n", html_text(drawing.title),
                     html_text(drawing.description));
  svg += fmt::format("<rect width=\"{:.0f}\" height=\"{:.0f}\" fill=\"#ffffff\"/>\n", width, height);
  return svg + writer.text() + "</svg>\n";
}

std::vector<std::string> paint_svg_pages(const Drawing& drawing) {
  constexpr double air = 4;  // around the block, for signs that stand out of it
  std::vector<std::string> pages;
  for (const Page& page : drawing.pages) {
    SvgWriter writer;
    write_page(writer, page, 0);
    const double left = (page.width - PageFlow::block_width) / 2 - air;
    const double top = PageFlow::top - air;
    double end = PageFlow::top;
    for (const Mark& mark : page.marks) end = std::max(end, lower_end(mark));
    pages.push_back(fmt::format(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" xml:space=\"preserve\" viewBox=\"{:.1f} {:.1f} {:.1f} {:.1f}\" "
        "font-family=\"{}\">\n{}</svg>\n",
        left, top, PageFlow::block_width + 2 * air, end + air - top, families, writer.text()));
  }
  return pages;
}

}  // namespace romanesca
