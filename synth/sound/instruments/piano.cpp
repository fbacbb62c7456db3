#include "synth/sound/instruments/piano.h"

#include <algorithm>
#include <cmath>

#include "synth/sound/deterministic_math.h"

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

}  // namespace romanesca
