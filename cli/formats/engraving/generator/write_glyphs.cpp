// Writes the outlines of a music font as C++, run by CMake: write_glyphs FONT BRACES OUTPUT.
// The font is Emmentaler (SIL Open Font Licence 1.1) from Debian's package lilypond-fonts; nothing of it is kept among
// the sources. Its table LILC says in Scheme where stems join heads, in points at 5 points to a staff space.
#include <ft2build.h>
// The order matters to FreeType.
#include FT_FREETYPE_H
#include FT_BBOX_H
#include FT_OUTLINE_H
#include FT_TRUETYPE_TABLES_H

#include <array>
#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <string>
#include <vector>

#include "cli/formats/engraving/glyph.h"

namespace {

constexpr double points_to_a_space = 5;

[[noreturn]] void fail(const std::string& what) {
  std::fputs(("write_glyphs: " + what + "\n").c_str(), stderr);
  std::exit(1);
}

struct Font {
  explicit Font(const char* path) {
    if (FT_Init_FreeType(&library) != 0 || FT_New_Face(library, path, 0, &face) != 0)
      fail(std::string("cannot read ") + path);
    if (face->units_per_EM != 4 * romanesca::outline_units) fail("a space is not a quarter of the font's em");
  }
  ~Font() {
    FT_Done_Face(face);
    FT_Done_FreeType(library);
  }
  Font(const Font&) = delete;
  Font& operator=(const Font&) = delete;

  [[nodiscard]] std::string table(unsigned long tag) const {
    FT_ULong length = 0;
    if (FT_Load_Sfnt_Table(face, tag, 0, nullptr, &length) != 0) return {};
    std::string text(length, ' ');
    FT_Load_Sfnt_Table(face, tag, 0, reinterpret_cast<FT_Byte*>(text.data()), &length);
    return text;
  }

  /// Loads a glyph in the font's own units.
  void load(const std::string& name) const {
    const FT_UInt index = FT_Get_Name_Index(face, name.c_str());
    if (index == 0 || FT_Load_Glyph(face, index, FT_LOAD_NO_SCALE) != 0) fail("the font has no " + name);
  }

  FT_Library library = nullptr;
  FT_Face face = nullptr;
};

struct OutlineWriter {
  std::vector<long> code;

  void add(long operation, std::initializer_list<const FT_Vector*> points) {
    code.push_back(operation);
    for (const FT_Vector* point : points) {
      code.push_back(point->x);
      code.push_back(-point->y);  // y grows downwards on a page
    }
  }
};

std::vector<long> outline_of(FT_Face face) {
  OutlineWriter writer;
  FT_Outline_Funcs steps{};
  steps.move_to = [](const FT_Vector* to, void* user) {
    static_cast<OutlineWriter*>(user)->add(0, {to});
    return 0;
  };
  steps.line_to = [](const FT_Vector* to, void* user) {
    static_cast<OutlineWriter*>(user)->add(1, {to});
    return 0;
  };
  steps.conic_to = [](const FT_Vector*, const FT_Vector*, void*) -> int { fail("quadratic curves were not expected"); };
  steps.cubic_to = [](const FT_Vector* a, const FT_Vector* b, const FT_Vector* to, void* user) {
    static_cast<OutlineWriter*>(user)->add(2, {a, b, to});
    return 0;
  };
  if (FT_Outline_Decompose(&face->glyph->outline, &steps, &writer) != 0) fail("an outline cannot be read");
  return writer.code;
}

/// "(attachment . (6.5 . 0.9))" of a glyph, or zeros.
std::array<double, 2> attachment_of(const std::string& table, const std::string& name) {
  const std::size_t entry = table.find("(" + name + " .");
  if (entry == std::string::npos) return {};
  const std::string word = "(attachment . (";
  const std::size_t found = table.find(word, entry);
  if (found == std::string::npos || found > table.find("(bbox", table.find("(bbox", entry) + 1)) return {};
  char* end = nullptr;
  const double x = std::strtod(table.c_str() + found + word.size(), &end);
  const double y = std::strtod(table.c_str() + static_cast<std::size_t>(end - table.c_str()) + 3, nullptr);
  return {x / points_to_a_space, -y / points_to_a_space};
}

class SourceWriter {
 public:
  explicit SourceWriter(const char* path) : file_(path) {
    file_ << "// Made by write_glyphs from a music font.\n#include \"cli/formats/engraving/glyph.h\"\n\nnamespace "
             "romanesca {\nnamespace {\n\nconstexpr std::int16_t outlines[] = {\n";
  }

  void add(FT_Face face, std::array<double, 2> stem) {
    const std::vector<long> code = outline_of(face);
    for (const long number : code) file_ << number << ',';
    file_ << '\n';
    FT_BBox box;
    FT_Outline_Get_BBox(&face->glyph->outline, &box);
    const auto spaces = [](FT_Pos units) {
      return std::to_string(static_cast<double>(units) / romanesca::outline_units);
    };
    rows_ += "    {" + spaces(box.xMin) + ", " + spaces(-box.yMax) + ", " + spaces(box.xMax) + ", " +
             spaces(-box.yMin) + ", " + std::to_string(stem[0]) + ", " + std::to_string(stem[1]) +
             ", std::span<const std::int16_t>(outlines + " + std::to_string(size_) + ", " +
             std::to_string(code.size()) + ")},\n";
    size_ += code.size();
  }

  [[nodiscard]] bool finish() {
    file_ << "};\n\nconstexpr GlyphShape shapes[glyph_count] = {\n"
          << rows_
          << "};\n\n}  // namespace\n\nstd::span<const GlyphShape, glyph_count> glyph_shapes() noexcept { return "
             "shapes; }\n\n}  // namespace romanesca\n";
    file_.close();
    return file_.good();
  }

 private:
  std::ofstream file_;
  std::string rows_;
  std::size_t size_ = 0;
};

/// The smallest brace at least so tall, or the largest.
void load_brace(const Font& font, double spaces) {
  constexpr int count = 576;
  for (int number = 0; number < count; ++number) {
    font.load("brace" + std::to_string(number));
    FT_BBox box;
    FT_Outline_Get_BBox(&font.face->glyph->outline, &box);
    if (static_cast<double>(box.yMax - box.yMin) >= spaces * romanesca::outline_units) return;
  }
}

}  // namespace

int main(int count, char** arguments) {
  if (count != 4) fail("usage: write_glyphs FONT BRACES OUTPUT");
  const Font music(arguments[1]);
  const Font braces(arguments[2]);
  const std::string metrics = music.table(FT_MAKE_TAG('L', 'I', 'L', 'C'));
  SourceWriter source(arguments[3]);
  for (const std::string_view view : romanesca::glyph_names) {
    const std::string name(view);
    music.load(name);
    source.add(music.face, attachment_of(metrics, name));
  }
  for (std::size_t i = 0; i < romanesca::brace_count; ++i) {
    load_brace(braces, romanesca::shortest_brace_spaces + static_cast<double>(i));
    source.add(braces.face, {});
  }
  if (!source.finish()) fail(std::string("cannot write ") + arguments[3]);
  return 0;
}
