#include "synth/sound/instruments/vibraphone.h"

#include <algorithm>

#include "synth/sound/deterministic_math.h"

namespace romanesca {

ModalPatch vibraphone(const NoteInput& touch) noexcept {
  ModalPatch recipe;
  const auto force = static_cast<double>(touch.force);
  const double octaves = touch.octaves_above(65);
  const double ring_s = 6.0 * exp2_of(-octaves * 0.7);
  recipe.add(1, 1.0, ring_s);
  recipe.add(4, 0.05 + 0.24 * force, ring_s * 0.22);
  recipe.add(9.9, 0.01 + 0.09 * force, ring_s * 0.06);
  recipe.attack_s = 0.0012f;
  recipe.release_s = 0.35f;
  recipe.noise = static_cast<float>(0.05 * force);
  recipe.noise_decay_s = 0.012f;
  recipe.noise_cutoff_hz = 2200;
  recipe.place = static_cast<float>(std::clamp(octaves * 0.15, -0.35, 0.35));
  return recipe;
}

}  // namespace romanesca
