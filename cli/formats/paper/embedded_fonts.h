#pragma once

#include <span>

namespace romanesca {

/// The bytes of the OpenType fonts in the program, put there by CMake: TeX Gyre Schola regular, italic and bold, and
/// TeX Gyre Heros Condensed bold for figures on keyboards (GUST Font License), from Debian's package fonts-texgyre.
[[nodiscard]] std::span<const unsigned char> embedded_font_roman();
[[nodiscard]] std::span<const unsigned char> embedded_font_italic();
[[nodiscard]] std::span<const unsigned char> embedded_font_bold();
[[nodiscard]] std::span<const unsigned char> embedded_font_figures();

}  // namespace romanesca
