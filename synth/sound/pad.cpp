#include "synth/sound/pad.h"

#include <cmath>

namespace romanesca {

Recipe pad(const Touch& touch, float spread_cents) noexcept {
  Recipe recipe;
  const float spread = std::exp2(spread_cents / 1200.0f);
  const float steepness = 0.75f - 0.45f * touch.force;
  for (int n = 1; n <= 5; ++n) {
    const auto order = static_cast<float>(n);
    const float level = std::exp(-steepness * (order - 1)) / order;
    recipe.add(order * spread, level, 0);
    if (spread_cents > 0) recipe.add(order / spread, level, 0);
  }
  recipe.attack_s = 0.10f;
  recipe.release_s = 0.7f;
  return recipe;
}

}  // namespace romanesca
