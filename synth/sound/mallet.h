#pragma once

#include "synth/sound/recipe.h"

namespace romanesca {

/// A tuned wooden bar with a resonator: the first overtone two octaves up, the next about ten times the note (Fletcher
/// & Rossing, from memory).
[[nodiscard]] Recipe mallet(const Touch& touch) noexcept;

}  // namespace romanesca
