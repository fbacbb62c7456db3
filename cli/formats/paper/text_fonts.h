#pragma once

#include <cairo.h>

#include <cstdint>
#include <string>
#include <vector>

#include "cli/formats/engraving/marks.h"

namespace romanesca {

// The fonts that pages are set in lie in the program: TeX Gyre Schola and Heros, taken at build time. What they lack is
// set in a font of this computer.

/// A piece of a text that one font sets. Lengths are shares of the type size.
struct TextRun {
  enum class Source : std::uint8_t {
    face,      ///< the face asked for
    sign,      ///< a sign of the music font, as flats and sharps
    computer,  ///< a font of this computer
  };
  struct PlacedGlyph {
    unsigned glyph = 0;
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

/// A text in a face, kerned; each is measured once. @param text UTF-8
[[nodiscard]] const ShapedText& shaped(const std::string& text, Face face);

/// A sign of the music font set as a letter. Lengths are shares of the type size.
struct TextSign {
  char32_t character;
  Glyph glyph;
  double space;  ///< of the staff that the sign is drawn for
  double rise;   ///< of the glyph's origin over the baseline
  bool stem;     ///< with a stem upwards, as a note
};
[[nodiscard]] std::span<const TextSign> text_signs();
/// Where the sign's ink ends on the right, with the air after it.
[[nodiscard]] double sign_advance(const TextSign& sign);

/// For cairo. They live as long as the program.
[[nodiscard]] cairo_font_face_t* cairo_face(Face face);
/// A font with the text signs, by their place in text_signs(), so that a reader of the file finds them as characters.
[[nodiscard]] cairo_font_face_t* cairo_sign_face();

}  // namespace romanesca
