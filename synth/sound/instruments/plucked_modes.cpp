#include "synth/sound/instruments/plucked_modes.h"

#include <cmath>

#include "synth/sound/deterministic_math.h"

namespace romanesca {

void add_plucked_modes(ModalPatch& recipe, const Pluck& pluck) noexcept {
  const double tuned = std::sqrt(1 + pluck.stiffness);
  for (int n = 1; n <= pluck.modes; ++n) {
    const double ratio = n * std::sqrt(1 + pluck.stiffness * n * n) / tuned;
    // A real string is never plucked in one point, so no mode is quite silent.
    const double mode = std::abs(rotation_of(n * pluck.place / 2).sine) + 0.03;
    const double smoothed = exp_of(-pluck.width * pluck.width * 40 * n * n);
    recipe.add(ratio, mode / n * smoothed, pluck.first_decay_s / (1 + pluck.damping * (n - 1)));
  }
}

}  // namespace romanesca
