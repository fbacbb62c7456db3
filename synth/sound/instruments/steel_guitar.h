#pragma once

#include "synth/sound/recipe.h"

namespace romanesca {

/// A guitar with steel strings, struck with a pick: bright, with a long ring.
[[nodiscard]] Recipe steel_guitar(const Touch& touch) noexcept;

}  // namespace romanesca
