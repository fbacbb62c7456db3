// Writes how wide the letters of the pages' faces are as C++, run by CMake: write_widths ROMAN ITALIC BOLD FIGURES
// OUTPUT. A web page sets charts by them, since it has no fonts of its own.
#include <ft2build.h>
// The order matters to FreeType.
#include FT_FREETYPE_H

#include <cstdio>
#include <cstdlib>
#include <fstream>

#include "cli/formats/paper/text_widths.h"

int main(int count, char** words) {
  constexpr int faces = static_cast<int>(romanesca::width_faces);
  if (count != faces + 2) return EXIT_FAILURE;
  std::ofstream file(words[faces + 1]);
  file << "// Made by write_widths from the fonts of the pages.\n#include \"cli/formats/paper/text_widths.h\"\n\nconst "
          "std::array<std::array<std::uint16_t, romanesca::width_characters>, romanesca::width_faces> "
          "romanesca::text_widths = {{\n";
  FT_Library library = nullptr;
  if (FT_Init_FreeType(&library) != 0) return EXIT_FAILURE;
  for (int i = 0; i < faces; ++i) {
    FT_Face face = nullptr;
    if (FT_New_Face(library, words[i + 1], 0, &face) != 0 || face->units_per_EM != romanesca::width_units) {
      std::fprintf(stderr, "write_widths: %s is no font of %d units to the em\n", words[i + 1], romanesca::width_units);
      return EXIT_FAILURE;
    }
    file << "{{";
    for (std::size_t place = 0; place < romanesca::width_characters; ++place) {
      const FT_UInt glyph = FT_Get_Char_Index(face, romanesca::width_character(place));
      const bool known = glyph != 0 && FT_Load_Glyph(face, glyph, FT_LOAD_NO_SCALE) == 0;
      file << (known ? face->glyph->metrics.horiAdvance : 0) << ',';
    }
    file << "}},\n";
    FT_Done_Face(face);
  }
  file << "}};\n";
  FT_Done_FreeType(library);
  return file.flush() ? EXIT_SUCCESS : EXIT_FAILURE;
}
