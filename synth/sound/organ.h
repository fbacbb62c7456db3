#pragma once

#include "synth/sound/recipe.h"

namespace romanesca {

/// A small pipe organ: stops of 16, 8, 4, 2 2/3 and 2 feet. Force makes it a little brighter, as a swell box does.
[[nodiscard]] Recipe organ(const Touch& touch) noexcept;

}  // namespace romanesca
