#pragma once

#include <array>
#include <cstdint>
#include <span>
#include <string_view>

namespace romanesca {

/// The signs of music that pages use. Their outlines are taken from a music font when the program is built.
enum class Glyph : std::uint8_t {
  treble_clef,
  bass_clef,
  whole_head,
  half_head,
  black_head,
  slash_head,
  whole_rest,
  half_rest,
  quarter_rest,
  eighth_rest,
  sixteenth_rest,
  thirty_second_rest,
  sharp,
  flat,
  natural,
  double_sharp,
  double_flat,
  eighth_flag_up,
  sixteenth_flag_up,
  thirty_second_flag_up,
  eighth_flag_down,
  sixteenth_flag_down,
  thirty_second_flag_down,
  zero,
  one,
  two,
  three,
  four,
  five,
  six,
  seven,
  eight,
  nine,
  dot,
  fermata,
  segno,
  coda,
  shortest_brace,  // and after it, one for each space more
};

/// Heights of the braces in staff spaces: the first, and how many there are.
inline constexpr int shortest_brace_spaces = 11;
inline constexpr std::size_t brace_count = 18;
inline constexpr std::size_t glyph_count = static_cast<std::size_t>(Glyph::shortest_brace) + brace_count;

/// Names in the font, in the order of Glyph, without the braces.
inline constexpr std::array<std::string_view, static_cast<std::size_t>(Glyph::shortest_brace)> glyph_names{
    "clefs.G",
    "clefs.F",
    "noteheads.s0",
    "noteheads.s1",
    "noteheads.s2",
    "noteheads.s2slash",
    "rests.0",
    "rests.1",
    "rests.2",
    "rests.3",
    "rests.4",
    "rests.5",
    "accidentals.sharp",
    "accidentals.flat",
    "accidentals.natural",
    "accidentals.doublesharp",
    "accidentals.flatflat",
    "flags.u3",
    "flags.u4",
    "flags.u5",
    "flags.d3",
    "flags.d4",
    "flags.d5",
    "zero",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "dots.dot",
    "scripts.ufermata",
    "scripts.segno",
    "scripts.coda"};

/// A sign's outline and metrics as the font has them. Lengths are staff spaces; x grows to the right, y downwards, from
/// the sign's own origin: the line of a clef, the middle of a head or accidental, the baseline of a figure.
struct GlyphShape {
  double left = 0, top = 0, right = 0, bottom = 0;  ///< its ink
  double stem_x = 0, stem_y = 0;                    ///< of a head: where a stem upwards joins it
  /// Operations, each a number and its coordinates in 1/250 of a space: 0 begins a contour (x y), 1 is a line (x y), 2
  /// a cubic Bezier curve (x y three times). Contours close by themselves and fill by the nonzero rule.
  std::span<const std::int16_t> outline;

  [[nodiscard]] constexpr double width() const noexcept { return right - left; }
  [[nodiscard]] constexpr double height() const noexcept { return bottom - top; }
};

/// Units of GlyphShape::outline in a staff space.
inline constexpr double outline_units = 250;

/// All of them, by the number of Glyph. Made at build time by generator/write_glyphs.cpp.
[[nodiscard]] std::span<const GlyphShape, glyph_count> glyph_shapes() noexcept;
[[nodiscard]] inline const GlyphShape& shape_of(Glyph glyph) noexcept {
  return glyph_shapes()[static_cast<std::size_t>(glyph)];
}

/// @param digit 0 to 9
[[nodiscard]] constexpr Glyph digit_glyph(int digit) noexcept {
  return static_cast<Glyph>(static_cast<int>(Glyph::zero) + digit);
}

/// The smallest brace that spans so many staff spaces, or the largest of all. It is never stretched.
[[nodiscard]] Glyph brace_glyph(double spaces) noexcept;

/// Walks an outline. @param move @param line take x and y, @param curve takes six numbers; in staff spaces
template <typename Move, typename Line, typename Curve>
void trace_outline(const GlyphShape& shape, Move move, Line line, Curve curve) {
  const auto& code = shape.outline;
  const auto at = [&](std::size_t i) { return code[i] / outline_units; };
  for (std::size_t i = 0; i < code.size();) {
    if (code[i] == 2) {
      curve(at(i + 1), at(i + 2), at(i + 3), at(i + 4), at(i + 5), at(i + 6));
      i += 7;
    } else {
      if (code[i] == 0) {
        move(at(i + 1), at(i + 2));
      } else {
        line(at(i + 1), at(i + 2));
      }
      i += 3;
    }
  }
}

}  // namespace romanesca
