#include <algorithm>
#include <cmath>

#include "synth/sound/deterministic_math.h"
#include "synth/sound/instruments/instruments.h"

namespace romanesca {

ModalPatch piano(const NoteInput& touch) noexcept {
  ModalPatch recipe;
  const double octaves = touch.octaves_above(60);
  const auto force = static_cast<double>(touch.force);
  const double stiffness = 3.0e-4 * exp2_of(std::max(octaves, -1.0) * 1.2);
  const double first_s = 11.0 * exp2_of(-std::max(octaves, -2.5) * 0.8);
  // The felt passes what is slower than its time on the string: harder and shorter with force, shorter for high notes.
  const double felt_hz = (380 + 2300 * force * force) * exp2_of(octaves * 0.42);
  const double tuned = std::sqrt(1 + stiffness);
  for (int n = 1; n <= 16; ++n) {
    const double ratio = n * std::sqrt(1 + stiffness * n * n) / tuned;
    const double hz = ratio * touch.frequency_hz;
    if (hz > 12000) break;
    const double strike = std::abs(rotation_of(n / 16.0).sine) + 0.08;
    const double board = hz / (hz + 90);  // the soundboard hardly moves below its first resonances
    const double level = strike * board / (1 + hz / felt_hz * (hz / felt_hz)) / std::sqrt(static_cast<double>(n));
    const double decay_s = first_s / (1 + 0.28 * (n - 1));
    if (n <= 3) {
      recipe.add(ratio, 0.62 * level, decay_s * 0.32);
      recipe.add(ratio * 1.00012, 0.38 * level, decay_s);
    } else {
      recipe.add(ratio, level, decay_s * 0.45);
    }
  }
  recipe.attack_s = static_cast<float>(0.0006 + 0.0012 * (1 - force));
  recipe.release_s = touch.midi >= 90 ? 2.0f : 0.22f;  // the highest strings have no dampers
  recipe.noise = static_cast<float>(0.16 * force);
  recipe.noise_decay_s = 0.045f;
  recipe.noise_cutoff_hz = static_cast<float>(500 + 2200 * force);
  recipe.place = static_cast<float>(std::clamp(octaves * 0.12, -0.4, 0.4));
  return recipe;
}

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
