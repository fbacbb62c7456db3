#pragma once

#include "synth/sound/recipe.h"

namespace romanesca {

/// Soft strings: partials of a saw, each twice and a hair apart, so that they beat slowly; the pair is symmetrical
/// about the true pitch. @param spread_cents half the distance of each pair, 0 to 20; 0 plays one of each. Set by ear.
[[nodiscard]] Recipe pad(const Touch& touch, float spread_cents) noexcept;

}  // namespace romanesca
