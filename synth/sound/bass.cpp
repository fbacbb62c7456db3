#include "synth/sound/bass.h"

#include <cmath>

namespace romanesca {

Recipe bass(const Touch& touch) noexcept {
  Recipe recipe;
  const float octaves_up = static_cast<float>(touch.midi - 36) / 12.0f;
  const float fundamental_s = 3.2f * std::exp2(-octaves_up * 0.5f);
  const float softness = 0.75f - 0.5f * touch.force;
  for (int n = 1; n <= 10; ++n) {
    const auto order = static_cast<float>(n);
    const float string = std::abs(std::sin(order * 3.14159265f * 0.2f)) + 0.03f;
    recipe.add(order, string / order * std::exp(-softness * (order - 1) * 0.5f),
               fundamental_s / (1 + 0.5f * (order - 1)));
  }
  recipe.attack_s = 0.002f;
  recipe.release_s = 0.09f;
  recipe.noise = 0.05f * touch.force;
  recipe.noise_decay_s = 0.015f;
  recipe.noise_cutoff_hz = 1800;
  return recipe;
}

}  // namespace romanesca
