#include "cli/formats/engraving/svg_marks.h"

#include <fmt/format.h>

#include <cmath>
#include <variant>

#include "cli/formats/html_text.h"

namespace romanesca {
namespace {

std::string colour(Ink ink) {
  const Rgb& c = rgb(ink);
  const auto part = [](double share) { return std::lround(share * 255); };
  return fmt::format("#{:02x}{:02x}{:02x}", part(c.red), part(c.green), part(c.blue));
}

}  // namespace

// NOLINTNEXTLINE(readability-convert-member-functions-to-static): the checker does not look into the lambda
void SvgWriter::write(const Mark& mark, double down) {
  std::visit([&](const auto& each) { write(each, down); }, mark.shape);
}

void SvgWriter::write_text(const TextMark& style, const std::string& words, double x, double width, double down,
                           bool seen) {
  const char* const family =
      style.face == Face::figures ? " font-family=\"TeX Gyre Heros Cn, Arial Narrow, sans-serif\"" : "";
  const bool heavy = style.face == Face::bold || style.face == Face::figures;
  text_ += fmt::format(
      "<text x=\"{:.2f}\" y=\"{:.2f}\" font-size=\"{:.2f}\"{}{}{} fill=\"{}\" textLength=\"{:.2f}\" "
      "lengthAdjust=\"spacingAndGlyphs\">{}</text>\n",
      x, style.baseline + down, style.size, family, heavy ? " font-weight=\"bold\"" : "",
      style.face == Face::italic ? " font-style=\"italic\"" : "", seen ? colour(style.ink) : "none", width,
      html_text(words));
}

void SvgWriter::write(const TextMark& mark, double down) {
  write_text(mark, mark.text, mark.x, mark.advance, down, true);
}

void SvgWriter::write(const LineMark& mark, double down) {
  text_ += fmt::format("<path d=\"M{:.2f} {:.2f}L{:.2f} {:.2f}\" stroke=\"{}\" stroke-width=\"{:.2f}\"/>\n", mark.x1,
                       mark.y1 + down, mark.x2, mark.y2 + down, colour(mark.ink), mark.width);
}

void SvgWriter::write(const BoxMark& mark, double down) {
  const std::string outline =
      mark.line_width > 0 ? fmt::format(" stroke=\"{}\" stroke-width=\"{:.2f}\"", colour(mark.outline), mark.line_width)
                          : "";
  text_ += fmt::format("<rect x=\"{:.2f}\" y=\"{:.2f}\" width=\"{:.2f}\" height=\"{:.2f}\" fill=\"{}\"{}/>\n",
                       mark.box.x, mark.box.y + down, mark.box.width, mark.box.height, colour(mark.fill), outline);
}

void SvgWriter::write(const RoundMark& mark, double down) {
  const std::string ink = mark.filled ? fmt::format("fill=\"{}\"", colour(mark.ink))
                                      : fmt::format("fill=\"none\" stroke=\"{}\" stroke-width=\"{:.2f}\"",
                                                    colour(mark.ink), mark.line_width);
  text_ += fmt::format("<ellipse cx=\"{:.2f}\" cy=\"{:.2f}\" rx=\"{:.2f}\" ry=\"{:.2f}\" {}/>\n", mark.x, mark.y + down,
                       mark.radius_x, mark.radius_y, ink);
}

/// Each sign's outline is written once, where it is needed first.
void SvgWriter::write(const GlyphMark& mark, double down) {
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
    text_ += fmt::format("<defs><path id=\"music-{}\" d=\"{}Z\"/></defs>\n", number, path);
  }
  text_ += fmt::format("<use href=\"#music-{}\" transform=\"translate({:.2f} {:.2f}) scale({:.2f})\" fill=\"{}\"/>\n",
                       number, mark.x, mark.y + down, mark.space, colour(mark.ink));
}

void SvgWriter::write(const ShapeMark& mark, double down) {
  std::string path;
  for (std::size_t i = 0; i < mark.points.size(); ++i) {
    const char* sign = i == 0 ? "M" : !mark.curved ? "L" : i % 3 == 1 ? "C" : " ";
    path += fmt::format("{}{:.2f} {:.2f}", sign, mark.points[i].x, mark.points[i].y + down);
  }
  text_ += fmt::format("<path d=\"{}Z\" fill=\"{}\"/>\n", path, colour(mark.ink));
}

}  // namespace romanesca
