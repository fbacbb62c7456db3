#pragma once

#include "synth/sound/recipe.h"

namespace romanesca {

/// A fingered electric bass: plucked at a fifth of the string (partial n as sin(n pi / 5) / n, an ideal plucked string:
/// Fletcher & Rossing, from memory), its upper partials quick to fade. Set by ear otherwise.
[[nodiscard]] Recipe bass(const Touch& touch) noexcept;

}  // namespace romanesca
