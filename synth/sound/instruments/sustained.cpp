#include <algorithm>

#include "synth/sound/deterministic_math.h"
#include "synth/sound/instruments/instruments.h"

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

ModalPatch strings(const NoteInput& touch) noexcept {
  ModalPatch recipe;
  const auto force = static_cast<double>(touch.force);
  const double bright_hz = 300 + 4200 * force * force;
  for (int n = 1; n <= 14; ++n) {
    const double hz = n * touch.frequency_hz;
    if (hz > 9000) break;
    const double body = hz / (hz + 160) / (1 + hz / bright_hz * (hz / bright_hz));
    recipe.add(n, body / n, 0);
  }
  recipe.attack_s = static_cast<float>(0.16 - 0.11 * force);
  recipe.release_s = 0.45f;
  recipe.place = static_cast<float>(std::clamp(-touch.octaves_above(60) * 0.15, -0.4, 0.4));  // violins on the left
  return recipe;
}

ModalPatch pad(const NoteInput& touch) noexcept {
  ModalPatch recipe;
  const double steepness = 0.75 - 0.45 * static_cast<double>(touch.force);
  for (int n = 1; n <= 6; ++n) recipe.add(n, exp_of(-steepness * (n - 1)) / n, 0);
  recipe.attack_s = 0.14f;
  recipe.release_s = 0.9f;
  return recipe;
}

}  // namespace romanesca
