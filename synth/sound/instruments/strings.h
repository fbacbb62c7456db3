#pragma once

#include "synth/sound/recipe.h"

namespace romanesca {

/// A section of bowed strings: the harmonics of a saw under a body's broad response, bowed in slowly. It is meant to be
/// heard through a chorus, which makes many players of one.
[[nodiscard]] Recipe strings(const Touch& touch) noexcept;

}  // namespace romanesca
