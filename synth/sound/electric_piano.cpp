#include "synth/sound/electric_piano.h"

#include <cmath>

namespace romanesca {

Recipe electric_piano(const Touch& touch) noexcept {
  Recipe recipe;
  const float octaves_up = static_cast<float>(touch.midi - 60) / 12.0f;
  const float hold_s = 5.0f * std::exp2(-octaves_up * 0.5f);
  const float growl = touch.force * touch.force;
  recipe.add(1, 1.0f, hold_s);
  recipe.add(2, 0.16f + 0.50f * growl, hold_s * 0.5f);
  recipe.add(3, 0.05f + 0.32f * growl, hold_s * 0.35f);
  recipe.add(4, 0.02f + 0.18f * growl, hold_s * 0.25f);
  recipe.add(5, 0.10f * growl, hold_s * 0.2f);
  recipe.add(7.03f, (0.03f + 0.16f * touch.force) * std::exp2(-octaves_up * 0.4f), 0.55f);
  recipe.add(14.1f, 0.05f * growl, 0.16f);
  recipe.attack_s = 0.0015f;
  recipe.release_s = 0.16f;
  recipe.noise = 0.03f * touch.force;
  recipe.noise_decay_s = 0.012f;
  return recipe;
}

}  // namespace romanesca
