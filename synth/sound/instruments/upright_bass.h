#pragma once

#include "synth/sound/recipe.h"

namespace romanesca {

/// A double bass, plucked: round, with a body that answers at about 100 Hz, and shorter than the electric one.
[[nodiscard]] Recipe upright_bass(const Touch& touch) noexcept;

}  // namespace romanesca
