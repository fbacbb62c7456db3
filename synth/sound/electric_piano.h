#pragma once

#include "synth/sound/recipe.h"

namespace romanesca {

/// An electric piano: a round tone with few harmonics, and a bell in the attack that a harder touch brings out. Set by
/// ear.
[[nodiscard]] Recipe electric_piano(const Touch& touch) noexcept;

}  // namespace romanesca
