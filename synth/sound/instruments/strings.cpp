#include "synth/sound/instruments/strings.h"

#include <algorithm>

#include "synth/sound/deterministic_math.h"

namespace romanesca {

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

}  // namespace romanesca
