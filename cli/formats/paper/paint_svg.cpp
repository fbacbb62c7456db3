#include <fmt/format.h>

#include <algorithm>
#include <string>
#include <variant>

#include "cli/formats/engraving/svg_marks.h"
#include "cli/formats/html_text.h"
#include "cli/formats/paper/paint.h"
#include "cli/formats/paper/sign_font.h"
#include "cli/formats/paper/text_fonts.h"

namespace romanesca {
namespace {

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

}  // namespace

std::string paint_svg(const Drawing& drawing) {
  double width = 0;
  double height = 0;
  SvgWriter writer;
  for (const Page& page : drawing.pages) {
    for (const Mark& mark : page.marks) {
      if (const auto* text = std::get_if<TextMark>(&mark.shape)) {
        write_runs(writer, *text, height);
      } else {
        writer.write(mark, height);
      }
    }
    width = std::max(width, page.width);
    height += page.height;
  }
  std::string svg = fmt::format(
      "<svg xmlns=\"http://www.w3.org/2000/svg\" xml:lang=\"en\" xml:space=\"preserve\" role=\"img\" "
      "aria-labelledby=\"title desc\" width=\"{0:.0f}\" height=\"{1:.0f}\" viewBox=\"0 0 {0:.0f} {1:.0f}\" "
      "font-family=\"TeX Gyre Schola, C059, Century Schoolbook, serif\">\n",
      width, height);
  svg += fmt::format("<title id=\"title\">{}</title>\n<desc id=\"desc\">{}</desc>\n", html_text(drawing.title),
                     html_text(drawing.description));
  svg += fmt::format("<rect width=\"{:.0f}\" height=\"{:.0f}\" fill=\"#ffffff\"/>\n", width, height);
  return svg + writer.text() + "</svg>\n";
}

}  // namespace romanesca
