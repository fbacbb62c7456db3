#pragma once

#include <array>
#include <string>
#include <vector>

#include "cli/formats/engraving/marks.h"

namespace romanesca {

/// Writes marks as SVG elements, a line each. It needs no fonts and throws nothing, so that it serves a web page too.
class SvgWriter {
 public:
  /// @param down is added to every y, in points
  void write(const Mark& mark, double down);
  /// A text with the width that the layout counted with, whatever font the reader's machine has.
  /// @param seen whether it is painted; otherwise it is there to be found and copied only
  void write_text(const TextMark& style, const std::string& words, double x, double width, double down, bool seen);

  [[nodiscard]] const std::string& text() const { return text_; }

 private:
  void write(const TextMark& mark, double down);
  void write(const LineMark& mark, double down);
  void write(const BoxMark& mark, double down);
  void write(const RoundMark& mark, double down);
  void write(const GlyphMark& mark, double down);
  void write(const ShapeMark& mark, double down);

  std::array<bool, glyph_count> known_{};  // signs whose outline is written
  std::string text_;
};

}  // namespace romanesca
