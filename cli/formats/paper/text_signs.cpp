#include "cli/formats/paper/text_signs.h"

#include <algorithm>
#include <array>

namespace romanesca {
namespace {

constexpr double side = 0.04;  // air on either side

// A flat's bowl stands on the baseline; a sharp and a natural are centred on the capitals, 0.72 of the size high.
constexpr std::array<TextSign, 6> sign_table{{
    {U'\u266D', Glyph::flat, 0.36, 0.235, false},
    {U'\u266F', Glyph::sharp, 0.29, 0.36, false},
    {U'\u266E', Glyph::natural, 0.29, 0.36, false},
    {U'\U0001D12A', Glyph::double_sharp, 0.36, 0.30, false},
    {U'\U0001D12B', Glyph::double_flat, 0.36, 0.235, false},
    {U'\u2669', Glyph::black_head, 0.25, 0.137, true},
}};

}  // namespace

std::span<const TextSign> text_signs() { return sign_table; }

const TextSign* text_sign(char32_t character) {
  for (const TextSign& sign : sign_table) {
    if (sign.character == character) return &sign;
  }
  return nullptr;
}

double sign_origin(const TextSign& sign) { return side - shape_of(sign.glyph).left * sign.space; }

double sign_advance(const TextSign& sign) { return shape_of(sign.glyph).width() * sign.space + 2 * side; }

Box sign_ink(const TextSign& sign) {
  const GlyphShape& shape = shape_of(sign.glyph);
  const double top =
      (sign.stem ? std::min(shape.top, shape.stem_y - text_stem_length) : shape.top) * sign.space - sign.rise;
  return {side, top, shape.width() * sign.space, shape.bottom * sign.space - sign.rise - top};
}

std::vector<Mark> sign_marks(const TextSign& sign, double x, double baseline, double size, Ink ink) {
  const double space = sign.space * size;
  const GlyphMark glyph{sign.glyph, x + sign_origin(sign) * size, baseline - sign.rise * size, space, ink};
  std::vector<Mark> marks{{glyph, MarkKind::text, 0}};
  if (sign.stem) {
    const GlyphShape& shape = shape_of(sign.glyph);
    const double stem_x = glyph.x + (shape.right - text_stem_width / 2) * space;
    const double from = glyph.y + shape.stem_y * space;
    marks.push_back({LineMark{stem_x, from, stem_x, from - text_stem_length * space, text_stem_width * space, ink},
                     MarkKind::text, 0});
  }
  return marks;
}

}  // namespace romanesca
