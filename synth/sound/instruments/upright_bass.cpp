#include "synth/sound/instruments/upright_bass.h"

#include "synth/sound/deterministic_math.h"
#include "synth/sound/instruments/plucked_modes.h"

namespace romanesca {

ModalPatch upright_bass(const NoteInput& touch) noexcept {
  ModalPatch recipe;
  const double octaves = touch.octaves_above(36);
  const auto force = static_cast<double>(touch.force);
  add_plucked_modes(recipe, {.place = 0.3,
                             .width = 0.085 - 0.032 * force,
                             .first_decay_s = 2.1 * exp2_of(-octaves * 0.45),
                             .damping = 0.55,
                             .stiffness = 6e-5,
                             .modes = 12});
  for (std::size_t i = 0; i < recipe.count; ++i) {
    Partial& partial = recipe.partials[i];
    const double away = log2_of(partial.ratio * touch.frequency_hz / 105.0);
    partial.level *= static_cast<float>(1 + 0.9 / (1 + 4 * away * away));
  }
  recipe.attack_s = 0.006f;
  recipe.release_s = 0.14f;
  recipe.noise = static_cast<float>(0.13 * force);
  recipe.noise_decay_s = 0.035f;
  recipe.noise_cutoff_hz = 900;
  return recipe;
}

}  // namespace romanesca
