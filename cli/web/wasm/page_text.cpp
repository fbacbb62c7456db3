// How wide texts are on the paper of a page: shaped() from a table of widths in place of the fonts, without kerning.
// The reader's machine fits its own font into the width that the layout counted with (textLength in svg_marks.h).
#include <map>
#include <utility>

#include "cli/formats/paper/shaped_text.h"
#include "cli/formats/paper/text_signs.h"
#include "cli/formats/paper/text_widths.h"
#include "theory/text/characters.h"

namespace romanesca {
namespace {

/// A guess for letters that the fonts lack: Chinese, Japanese and Korean ones fill a square.
double guessed_width(char32_t character) {
  constexpr char32_t first_square = 0x2E80;
  constexpr double square = 1, letter = 0.58;
  return character >= first_square ? square : letter;
}

ShapedText shape(const std::string& text, Face face) {
  ShapedText result;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t begin = at;
    const char32_t character = read_code_point(text, at);
    double width = 0;
    TextRun::Source source = TextRun::Source::face;
    unsigned glyph = 0;
    if (const TextSign* const sign = text_sign(character)) {
      source = TextRun::Source::sign;
      glyph = static_cast<unsigned>(sign - text_signs().data());
      width = sign_advance(*sign);
    } else {
      const std::size_t place = width_place(character);
      const unsigned known = place < width_characters ? text_widths[static_cast<std::size_t>(face)][place] : 0;
      width = known > 0 ? static_cast<double>(known) / width_units : guessed_width(character);
      if (known == 0) source = TextRun::Source::computer;
    }
    if (result.runs.empty() || result.runs.back().source != source || source == TextRun::Source::sign) {
      result.runs.push_back({source, begin, at, result.advance, {}});
      if (source == TextRun::Source::sign) result.runs.back().glyphs.push_back({glyph, result.advance, 0});
    }
    result.runs.back().end = at;
    result.advance += width;
  }
  result.ink = {0, -0.75, result.advance, 1};
  return result;
}

}  // namespace

const ShapedText& shaped(const std::string& text, Face face) {
  static std::map<std::pair<std::string, Face>, ShapedText> known;
  const auto [found, is_new] = known.try_emplace({text, face});
  if (is_new) found->second = shape(text, face);
  return found->second;
}

}  // namespace romanesca
