#include "synth/sound/piano.h"

#include <cmath>

namespace romanesca {

Recipe piano(const Touch& touch) noexcept {
  Recipe recipe;
  const float octaves_up = static_cast<float>(touch.midi - 60) / 12.0f;
  const float stiffness = 1.2e-4f * std::exp2(octaves_up * 1.3f);
  const float fundamental_s = 9.0f * std::exp2(-octaves_up * 0.75f);
  const float steepness = 0.95f - 0.55f * touch.force + 0.12f * octaves_up;
  const float tuned = std::sqrt(1 + stiffness);  // the first partial is the note
  for (int n = 1; n <= 12; ++n) {
    const auto order = static_cast<float>(n);
    const float ratio = order * std::sqrt(1 + stiffness * order * order) / tuned;
    const float hammer = n % 8 == 0 ? 0.3f : 1.0f;  // struck at an eighth of the string
    recipe.add(ratio, hammer * std::exp(-steepness * (order - 1)), fundamental_s / (1 + 0.35f * (order - 1)));
  }
  recipe.attack_s = 0.0015f;
  recipe.release_s = 0.18f;
  recipe.noise = 0.10f * touch.force;
  recipe.noise_decay_s = 0.03f;
  recipe.noise_cutoff_hz = 900.0f + 2500.0f * touch.force;
  return recipe;
}

}  // namespace romanesca
