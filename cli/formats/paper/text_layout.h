#pragma once

#include <string>
#include <vector>

#include "cli/formats/engraving/marks.h"

namespace romanesca {

/// How wide a text is in a size, in points: to where a next text would begin.
[[nodiscard]] double text_width(const std::string& text, double size, Face face);

/// What a text is and looks like.
struct TextStyle {
  double size = 10;
  Face face = Face::roman;
  Ink ink = Ink::text;
  TextRole role = TextRole::note;
  MarkKind kind = MarkKind::text;
};

/// A text from its left end, ending at x, or centred on it, with the box that its ink fills.
Mark text_at(double x, double baseline, std::string text, const TextStyle& style);
Mark text_ending(double x, double baseline, std::string text, const TextStyle& style);
Mark text_centred(double x, double baseline, std::string text, const TextStyle& style);

/// A text broken between words into lines no wider than @p width points; a longer word stands alone.
[[nodiscard]] std::vector<std::string> lines_within(const std::string& text, double width, double size, Face face);

/// A text cut with an ellipsis so that it fits.
[[nodiscard]] std::string shortened(const std::string& text, double width, double size, Face face);

/// A note or key name with signs in place of ASCII: "Eb" becomes E and a flat. @param name begins with a letter
/// A to G and its accidentals; the rest stays as it is.
[[nodiscard]] std::string with_signs(const std::string& name);

/// A sentence in which every note, key and chord name has its signs: "Bb/D", "F#m7b5".
[[nodiscard]] std::string sentence_with_signs(const std::string& text);

}  // namespace romanesca
