#include "synth/sound/instruments/bell.h"

#include <algorithm>

#include "synth/sound/deterministic_math.h"

namespace romanesca {

ModalPatch bell(const NoteInput& touch) noexcept {
  ModalPatch recipe;
  const auto force = static_cast<double>(touch.force);
  const double octaves = touch.octaves_above(72);
  const double ring_s = 3.2 * exp2_of(-octaves * 0.6);
  recipe.add(1, 1.0, ring_s);
  recipe.add(2.756, 0.10 + 0.28 * force, ring_s * 0.4);
  recipe.add(5.404, 0.03 + 0.18 * force, ring_s * 0.16);
  recipe.add(8.933, 0.01 + 0.07 * force, ring_s * 0.08);
  recipe.attack_s = 0.0008f;
  recipe.release_s = 0.9f;
  recipe.noise = static_cast<float>(0.05 * force);
  recipe.noise_decay_s = 0.006f;
  recipe.noise_cutoff_hz = 7000;
  recipe.place = static_cast<float>(std::clamp(octaves * 0.1, -0.3, 0.3));
  return recipe;
}

}  // namespace romanesca
