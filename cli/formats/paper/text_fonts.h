#pragma once

#include <cairo.h>

#include "cli/formats/engraving/marks.h"

namespace romanesca {

// The fonts that pages are set in lie in the program: TeX Gyre Schola and Heros, taken at build time. What they lack is
// set in a font of this computer. shaped_text.h says how wide a text is.

/// For cairo. They live as long as the program.
[[nodiscard]] cairo_font_face_t* cairo_face(Face face);
/// A font with the text signs, by their place in text_signs(), so that a reader of the file finds them as characters.
[[nodiscard]] cairo_font_face_t* cairo_sign_face();

}  // namespace romanesca
