#pragma once

#include "synth/sound/recipe.h"

namespace romanesca {

/// An electric bass, plucked with a finger near the pickup, which does not hear the modes that have a node over it.
[[nodiscard]] Recipe electric_bass(const Touch& touch) noexcept;

}  // namespace romanesca
