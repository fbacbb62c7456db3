#pragma once

#include <array>

#include "cli/formats/paper/marks.h"

namespace romanesca {

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
