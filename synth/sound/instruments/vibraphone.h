#pragma once

#include "synth/sound/recipe.h"

namespace romanesca {

/// A vibraphone: metal bars cut so that the second mode is two octaves above the first, and the third near ten times it
/// (Fletcher & Rossing, ch. 19), with a soft mallet. It is meant to be heard through turning fans.
[[nodiscard]] Recipe vibraphone(const Touch& touch) noexcept;

}  // namespace romanesca
