#pragma once

#include <string>
#include <vector>

#include "cli/formats/paper/marks.h"

namespace romanesca {

/// The family that pages are set in; another where it is not installed.
inline constexpr const char* font_family = "DejaVu Sans, sans-serif";

/// How wide a text is in a size, in points.
[[nodiscard]] double text_width(const std::string& text, double size, Weight weight);

/// A text from its left end, or centred on x, with the box it fills.
[[nodiscard]] TextMark text_at(double x, double baseline, std::string text, double size, Weight weight, Ink ink,
                               TextRole role);
[[nodiscard]] TextMark text_centred(double x, double baseline, std::string text, double size, Weight weight, Ink ink,
                                    TextRole role);

/// A text broken between words into lines no wider than @p width points; a longer word stands alone.
[[nodiscard]] std::vector<std::string> lines_within(const std::string& text, double width, double size, Weight weight);

}  // namespace romanesca
