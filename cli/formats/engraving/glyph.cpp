#include "cli/formats/engraving/glyph.h"

namespace romanesca {

Glyph brace_glyph(double spaces) noexcept {
  constexpr auto first = static_cast<std::size_t>(Glyph::shortest_brace);
  constexpr double rounding = 0.05;  // of the font's own units
  std::size_t brace = first;
  while (brace + 1 < glyph_count && glyph_shapes()[brace].height() < spaces - rounding) ++brace;
  return static_cast<Glyph>(brace);
}

}  // namespace romanesca
