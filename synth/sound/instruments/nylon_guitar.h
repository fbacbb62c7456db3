#pragma once

#include "synth/sound/recipe.h"

namespace romanesca {

/// A guitar with nylon strings, plucked by a finger: soft and round.
[[nodiscard]] Recipe nylon_guitar(const Touch& touch) noexcept;

}  // namespace romanesca
