#pragma once

#include <span>
#include <vector>

#include "cli/formats/engraving/marks.h"

namespace romanesca {

/// A sign of the music font set as a letter: flats, sharps, naturals, and the note of a metronome mark. Lengths are
/// shares of the type size.
struct TextSign {
  char32_t character;
  Glyph glyph;
  double space;  ///< of the staff that the sign is drawn for
  double rise;   ///< of the glyph's origin over the baseline
  bool stem;     ///< with a stem upwards, as a note
};
[[nodiscard]] std::span<const TextSign> text_signs();
/// The sign of a character, or null.
[[nodiscard]] const TextSign* text_sign(char32_t character);

/// Where the sign's origin stands, to the right of its place.
[[nodiscard]] double sign_origin(const TextSign& sign);
/// Where the sign's ink ends on the right, with the air after it.
[[nodiscard]] double sign_advance(const TextSign& sign);
/// The ink of a sign around its place on the baseline.
[[nodiscard]] Box sign_ink(const TextSign& sign);

inline constexpr double text_stem_length =
    2.9;  ///< in spaces of the sign: shorter than on a staff, as high as a capital
inline constexpr double text_stem_width = 0.14;  ///< likewise

/// The sign as marks, for painters without fonts: its outline, and its stem if it has one. In points.
[[nodiscard]] std::vector<Mark> sign_marks(const TextSign& sign, double x, double baseline, double size, Ink ink);

}  // namespace romanesca
