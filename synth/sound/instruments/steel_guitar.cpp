#include "synth/sound/instruments/steel_guitar.h"

#include "synth/sound/deterministic_math.h"
#include "synth/sound/instruments/plucked_modes.h"

namespace romanesca {

ModalPatch steel_guitar(const NoteInput& touch) noexcept {
  ModalPatch recipe;
  const double octaves = touch.octaves_above(52);
  const auto force = static_cast<double>(touch.force);
  add_plucked_modes(recipe, {.place = 0.19 - 0.05 * force,
                             .width = 0.036 - 0.024 * force,
                             .first_decay_s = 5.0 * exp2_of(-octaves * 0.55),
                             .damping = 0.26,
                             .stiffness = 5e-5,
                             .modes = 20});
  recipe.attack_s = 0.0008f;
  recipe.release_s = 0.14f;
  recipe.noise = static_cast<float>(0.16 * force);
  recipe.noise_decay_s = 0.012f;
  recipe.noise_cutoff_hz = 6000;
  return recipe;
}

}  // namespace romanesca
