#pragma once

#include "cli/formats/paper/text_fonts.h"

namespace romanesca {

/// The ink of a sign around its place on the baseline, in shares of the type size.
[[nodiscard]] Box sign_ink(const TextSign& sign);

/// The sign as marks, for painters without fonts: its outline, and its stem if it has one. In points.
[[nodiscard]] std::vector<Mark> sign_marks(const TextSign& sign, double x, double baseline, double size, Ink ink);

}  // namespace romanesca
