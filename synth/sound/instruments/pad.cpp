#include "synth/sound/instruments/pad.h"

#include "synth/sound/deterministic_math.h"

namespace romanesca {

ModalPatch pad(const NoteInput& touch) noexcept {
  ModalPatch recipe;
  const double steepness = 0.75 - 0.45 * static_cast<double>(touch.force);
  for (int n = 1; n <= 6; ++n) recipe.add(n, exp_of(-steepness * (n - 1)) / n, 0);
  recipe.attack_s = 0.14f;
  recipe.release_s = 0.9f;
  return recipe;
}

}  // namespace romanesca
