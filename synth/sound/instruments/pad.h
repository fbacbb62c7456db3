#pragma once

#include "synth/sound/recipe.h"

namespace romanesca {

/// A warm synthetic pad: few harmonics that rise slowly, for a chorus to move.
[[nodiscard]] Recipe pad(const Touch& touch) noexcept;

}  // namespace romanesca
