#pragma once

#include <array>
#include <string>
#include <variant>
#include <vector>

namespace romanesca {

// What a page is made of, settled before anything is drawn: PDF, PNG and SVG paint the same marks, and tests read them.
// Lengths are points (1/72 inch) from the upper left corner of the page.

struct Box {
  double x = 0, y = 0, width = 0, height = 0;
};

/// The few colours of a page. Shape or letter always carries the same information.
enum class Ink { text, quiet, accent, light, paper };

enum class Weight { regular, bold };

/// What a text is, for readers of the file by ear: headings get their tags.
enum class TextRole { title, heading, chord, numeral, finger, note };

struct TextMark {
  std::string text;
  double x = 0, baseline = 0;
  double size = 10;
  Weight weight = Weight::regular;
  Ink ink = Ink::text;
  TextRole role = TextRole::note;
  Box box;  ///< that its ink may fill: advance width, from ascent to descent
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

/// A pen stroke through Bezier curves: a start, then three points for each curve.
struct StrokeMark {
  struct Point {
    double x = 0, y = 0;
  };
  std::vector<Point> points;
  double width = 1;
  Ink ink = Ink::text;
};

using Mark = std::variant<TextMark, LineMark, BoxMark, RoundMark, StrokeMark>;

struct Page {
  double width = 595, height = 842;
  std::vector<Mark> marks;  ///< in the order of reading
  std::string bookmark;     ///< for the list of contents; empty for none
};

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

/// A dark teal beside black, two greys and white: in print without colour it is a dark grey, dark enough for white
/// figures.
inline constexpr std::array<Rgb, 5> inks{
    {{0.10, 0.10, 0.12}, {0.38, 0.38, 0.42}, {0.06, 0.36, 0.40}, {0.90, 0.90, 0.90}, {1, 1, 1}}};

[[nodiscard]] constexpr const Rgb& rgb(Ink ink) { return inks[static_cast<std::size_t>(ink)]; }

}  // namespace romanesca
