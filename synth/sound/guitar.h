#pragma once

#include "synth/sound/recipe.h"

namespace romanesca {

/// A nylon-strung guitar, plucked at a quarter to a sixth of the string depending on the touch (ideal plucked string:
/// Fletcher & Rossing, from memory). Set by ear otherwise.
[[nodiscard]] Recipe guitar(const Touch& touch) noexcept;

}  // namespace romanesca
