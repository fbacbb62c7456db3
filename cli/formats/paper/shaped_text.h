#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <vector>

#include "cli/formats/engraving/marks.h"

namespace romanesca {

/// A piece of a text that one font sets. Lengths are shares of the type size.
struct TextRun {
  enum class Source : std::uint8_t {
    face,      ///< the face asked for
    sign,      ///< a sign of the music font, as flats and sharps
    computer,  ///< a font of this computer
  };
  struct PlacedGlyph {
    unsigned glyph = 0;  ///< of a sign: its place in text_signs()
    double x = 0;
    std::uint32_t byte = 0;  ///< of the run, where its characters begin
  };
  Source source = Source::face;
  std::size_t begin = 0, end = 0;  ///< bytes of the text
  double x = 0;
  std::vector<PlacedGlyph> glyphs;
};

struct ShapedText {
  std::vector<TextRun> runs;
  double advance = 0;
  Box ink;  ///< around the baseline's left end
};

/// A text in a face, as wide as its letters are; each is measured once. The program measures with the fonts that lie
/// in it, kerned; a page with a table of their widths.
/// @param text UTF-8
[[nodiscard]] const ShapedText& shaped(const std::string& text, Face face);

}  // namespace romanesca
