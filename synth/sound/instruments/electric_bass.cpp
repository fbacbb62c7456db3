#include "synth/sound/instruments/electric_bass.h"

#include "synth/sound/deterministic_math.h"
#include "synth/sound/instruments/plucked_modes.h"

namespace romanesca {

ModalPatch electric_bass(const NoteInput& touch) noexcept {
  ModalPatch recipe;
  const double octaves = touch.octaves_above(36);
  const auto force = static_cast<double>(touch.force);
  add_plucked_modes(recipe, {.place = 0.22,
                             .width = 0.062 - 0.034 * force,
                             .first_decay_s = 4.5 * exp2_of(-octaves * 0.5),
                             .damping = 0.35,
                             .stiffness = 4e-5,
                             .modes = 16});
  recipe.attack_s = 0.003f;
  recipe.release_s = 0.11f;
  recipe.noise = static_cast<float>(0.08 * force);
  recipe.noise_decay_s = 0.02f;
  recipe.noise_cutoff_hz = 1500;
  return recipe;
}

}  // namespace romanesca
