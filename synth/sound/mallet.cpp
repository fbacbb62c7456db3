#include "synth/sound/mallet.h"

#include <cmath>

namespace romanesca {

Recipe mallet(const Touch& touch) noexcept {
  Recipe recipe;
  const float octaves_up = static_cast<float>(touch.midi - 60) / 12.0f;
  const float hold_s = 1.6f * std::exp2(-octaves_up * 0.7f);
  recipe.add(1, 1.0f, hold_s);
  recipe.add(4, 0.10f + 0.30f * touch.force, hold_s * 0.35f);
  recipe.add(9.9f, 0.03f + 0.14f * touch.force, hold_s * 0.12f);
  recipe.attack_s = 0.001f;
  recipe.release_s = 0.4f;
  recipe.noise = 0.05f * touch.force;
  recipe.noise_decay_s = 0.008f;
  return recipe;
}

}  // namespace romanesca
