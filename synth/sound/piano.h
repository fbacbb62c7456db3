#pragma once

#include "synth/sound/recipe.h"

namespace romanesca {

/// A piano's tone: stiff strings, so partials a little sharp of harmonic (f_n = n f sqrt(1 + B n^2): Fletcher &
/// Rossing, "The Physics of Musical Instruments", from memory), higher ones weaker for a softer touch and quicker to
/// die away. Levels and decay times were set by ear against common practice, no source.
[[nodiscard]] Recipe piano(const Touch& touch) noexcept;

}  // namespace romanesca
