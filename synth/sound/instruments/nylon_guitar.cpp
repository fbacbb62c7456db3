#include "synth/sound/instruments/nylon_guitar.h"

#include "synth/sound/deterministic_math.h"
#include "synth/sound/instruments/plucked_modes.h"

namespace romanesca {

ModalPatch nylon_guitar(const NoteInput& touch) noexcept {
  ModalPatch recipe;
  const double octaves = touch.octaves_above(52);
  const auto force = static_cast<double>(touch.force);
  add_plucked_modes(recipe, {.place = 0.26,
                             .width = 0.058 - 0.034 * force,
                             .first_decay_s = 3.0 * exp2_of(-octaves * 0.6),
                             .damping = 0.42,
                             .stiffness = 2e-5,
                             .modes = 14});
  recipe.attack_s = 0.0015f;
  recipe.release_s = 0.16f;
  recipe.noise = static_cast<float>(0.10 * force);
  recipe.noise_decay_s = 0.018f;
  recipe.noise_cutoff_hz = 3000;
  return recipe;
}

}  // namespace romanesca
