#pragma once

#include <array>
#include <cstdint>
#include <string>
#include <variant>
#include <vector>

#include "cli/formats/engraving/glyph.h"

namespace romanesca {

// What a page is made of, settled before anything is drawn: PDF, PNG and SVG paint the same marks, and tests read them.
// Lengths are points (1/72 inch) from the upper left corner of the page.

struct Box {
  double x = 0, y = 0, width = 0, height = 0;
};

/// The colours of a page: black, one accent, and white. No grey, which photocopiers break up. Shape or letter always
/// carries what the accent says.
enum class Ink : std::uint8_t { text, accent, paper };

/// The faces that pages are set in: a schoolbook serif, and a narrow sans serif for figures on keyboards.
enum class Face : std::uint8_t { roman, italic, bold, figures };

/// What a text is, for readers of the file by ear: headings get their tags.
enum class TextRole : std::uint8_t { title, heading, chord, numeral, finger, note };

/// What a mark stands for. Tests decide by it which marks must keep apart.
enum class MarkKind : std::uint8_t {
  text,
  chord,
  numeral,
  words,
  finger,
  rule,
  box,
  staff,
  ledger,
  clef,
  signature,
  meter,
  head,
  stem,
  flag,
  beam,
  accidental,
  dot,
  rest,
  tie,
  tuplet,
  bar_line,
  brace,
  ending,
  keyboard,
  key,
  key_mark,
};

/// A text from the left end of its baseline. It may hold the signs for flat, sharp and natural.
struct TextMark {
  std::string text;
  double x = 0, baseline = 0;
  double size = 10;
  Face face = Face::roman;
  Ink ink = Ink::text;
  TextRole role = TextRole::note;
  double advance = 0;  ///< width to where a next text would begin
  Box box;             ///< that its ink fills
};

struct LineMark {
  double x1 = 0, y1 = 0, x2 = 0, y2 = 0;
  double width = 1;
  Ink ink = Ink::text;
};

/// A rectangle, filled and with an outline.
struct BoxMark {
  Box box;
  Ink fill = Ink::paper;
  Ink outline = Ink::text;
  double line_width = 0.6;
};

/// An ellipse, filled, or with an outline alone.
struct RoundMark {
  double x = 0, y = 0;  ///< centre
  double radius_x = 3, radius_y = 3;
  bool filled = true;
  Ink ink = Ink::text;
  double line_width = 1;
};

/// A sign of the music font. @c space is the distance of two staff lines, to which its outline is scaled.
struct GlyphMark {
  Glyph glyph = Glyph::dot;
  double x = 0, y = 0;  ///< its origin
  double space = 5;
  Ink ink = Ink::text;
};

struct PagePoint {
  double x = 0, y = 0;
};

/// A filled shape: straight lines from point to point, or Bezier curves, each of the three points that follow the last.
struct ShapeMark {
  std::vector<PagePoint> points;
  bool curved = false;
  Ink ink = Ink::text;
};

/// A mark, what it stands for, and the sign that it is a part of: marks of one group may touch.
struct Mark {
  std::variant<TextMark, LineMark, BoxMark, RoundMark, GlyphMark, ShapeMark> shape;
  MarkKind kind = MarkKind::text;
  int group = 0;  ///< 0 for a mark alone
};

struct Page {
  double width = 595, height = 842;
  std::vector<Mark> marks;  ///< in the order of reading
  std::string bookmark;     ///< for the list of contents; empty for none
};

/// A number for the marks that are added next, different from that of any other group on the page.
[[nodiscard]] inline int next_group(const std::vector<Mark>& marks) { return static_cast<int>(marks.size()) + 1; }

/// A whole drawing: its pages, and what it says of itself.
struct Drawing {
  std::string title;
  std::string description;  ///< the content in words, for those who cannot see it
  std::vector<Page> pages;
};

/// Red, green, blue from 0 to 1.
struct Rgb {
  double red = 0, green = 0, blue = 0;
};

/// Black, a rubric red that a copier makes a dark grey, and white.
inline constexpr std::array<Rgb, 3> palette{{{0, 0, 0}, {0.61, 0.16, 0.10}, {1, 1, 1}}};

[[nodiscard]] constexpr const Rgb& rgb(Ink ink) { return palette[static_cast<std::size_t>(ink)]; }

}  // namespace romanesca
