#include "synth/sound/guitar.h"

#include <cmath>

namespace romanesca {

Recipe guitar(const Touch& touch) noexcept {
  Recipe recipe;
  const float octaves_up = static_cast<float>(touch.midi - 52) / 12.0f;
  const float fundamental_s = 2.6f * std::exp2(-octaves_up * 0.55f);
  const float place = 0.25f - 0.08f * touch.force;
  const float softness = 0.30f - 0.22f * touch.force;
  for (int n = 1; n <= 14; ++n) {
    const auto order = static_cast<float>(n);
    const float string = std::abs(std::sin(order * 3.14159265f * place)) + 0.02f;
    recipe.add(order, string / order * std::exp(-softness * (order - 1)), fundamental_s / (1 + 0.28f * (order - 1)));
  }
  recipe.attack_s = 0.001f;
  recipe.release_s = 0.14f;
  recipe.noise = 0.12f * touch.force;
  recipe.noise_decay_s = 0.012f;
  recipe.noise_cutoff_hz = 5000;
  return recipe;
}

}  // namespace romanesca
