#include "synth/sound/instruments/plucked_string.h"

#include <cmath>

#include "synth/sound/deterministic_math.h"

namespace romanesca {

void add_plucked_modes(ModalPatch& patch, const Pluck& pluck, double frequency_hz) noexcept {
  // A real string is never plucked or heard in one point, so no mode is quite silent.
  constexpr double floor = 0.06;
  const double tuned = std::sqrt(1 + pluck.stiffness);
  for (int n = 1; n <= pluck.modes; ++n) {
    const double ratio = n * std::sqrt(1 + pluck.stiffness * n * n) / tuned;
    const double released = std::abs(rotation_of(n * pluck.position / 2).sine) + floor;
    const double heard = pluck.pickup > 0 ? std::abs(rotation_of(n * pluck.pickup / 2).sine) + floor : 1;
    const double soft = n / pluck.soft_modes;
    const double high = ratio * frequency_hz / pluck.highest_hz;
    const double hz = ratio * frequency_hz;
    const double low = hz / (hz + pluck.lowest_hz);
    const double level = low * released * heard / n / std::sqrt((1 + soft * soft) * (1 + high * high * high * high));
    const double decay_s = pluck.first_decay_s / (1 + pluck.damping * (n - 1));
    // The string swings in two planes: the one it was plucked in moves the bridge and dies away sooner.
    if (pluck.quick_share > 0 && n <= 8) {
      patch.add(ratio, level * pluck.quick_share, decay_s / 4);
      patch.add(ratio, level * (1 - pluck.quick_share), decay_s);
    } else {
      patch.add(ratio, level, decay_s);
    }
  }
}

void add_body(ModalPatch& patch, std::span<const BodyMode> modes, double frequency_hz, double knock_s) noexcept {
  float first = 0;
  for (std::size_t i = 0; i < patch.count; ++i) {
    Partial& partial = patch.partials[i];
    double gain = 1;
    for (const BodyMode& mode : modes) {
      const double away = log2_of(partial.ratio * frequency_hz / mode.hz);
      gain += mode.gain / (1 + 9 * away * away);
    }
    partial.level *= static_cast<float>(gain);
    if (i == 0) first = partial.level;
  }
  for (const BodyMode& mode : modes)
    patch.add(mode.hz / frequency_hz, mode.knock * static_cast<double>(first), knock_s * 100 / mode.hz + 0.02);
}

}  // namespace romanesca
