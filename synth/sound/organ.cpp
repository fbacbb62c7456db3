#include "synth/sound/organ.h"

namespace romanesca {

Recipe organ(const Touch& touch) noexcept {
  Recipe recipe;
  recipe.add(1, 1.0f, 0);
  recipe.add(0.5f, 0.30f, 0);
  recipe.add(2, 0.25f + 0.35f * touch.force, 0);
  recipe.add(3, 0.05f + 0.20f * touch.force, 0);
  recipe.add(4, 0.05f + 0.20f * touch.force, 0);
  recipe.attack_s = 0.006f;
  recipe.release_s = 0.08f;
  recipe.noise = 0.04f;
  recipe.noise_decay_s = 0.03f;
  return recipe;
}

}  // namespace romanesca
