#include "synth/sound/instruments/organ.h"

namespace romanesca {

ModalPatch organ(const NoteInput& touch) noexcept {
  ModalPatch recipe;
  const auto force = static_cast<double>(touch.force);
  recipe.add(0.5, 0.45, 0);
  recipe.add(1, 1.0, 0);
  recipe.add(2, 0.45, 0);
  recipe.add(3, 0.12 + 0.22 * force, 0);
  recipe.add(4, 0.08 + 0.18 * force, 0);
  recipe.add(6, 0.02 + 0.08 * force, 0);
  recipe.attack_s = 0.005f;
  recipe.release_s = 0.07f;
  recipe.noise = 0.06f;  // the contacts of the key
  recipe.noise_decay_s = 0.012f;
  recipe.noise_cutoff_hz = 4000;
  return recipe;
}

}  // namespace romanesca
