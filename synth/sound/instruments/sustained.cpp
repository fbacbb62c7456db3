#include <algorithm>

#include "synth/sound/deterministic_math.h"
#include "synth/sound/instruments/instruments.h"

namespace romanesca {

ModalPatch organ(const NoteInput& note) noexcept {
  ModalPatch patch;
  const auto force = static_cast<double>(note.force);
  patch.add(0.5, 0.45, 0);
  patch.add(1, 1.0, 0);
  patch.add(2, 0.45, 0);
  patch.add(3, 0.12 + 0.22 * force, 0);
  patch.add(4, 0.08 + 0.18 * force, 0);
  patch.add(6, 0.02 + 0.08 * force, 0);
  patch.attack_s = 0.005f;
  patch.release_s = 0.07f;
  patch.noise = 0.06f;  // the contacts of the key
  patch.noise_decay_s = 0.012f;
  patch.noise_cutoff_hz = 4000;
  return patch;
}

ModalPatch strings(const NoteInput& note) noexcept {
  ModalPatch patch;
  const auto force = static_cast<double>(note.force);
  const double bright_hz = 500 + 5200 * force * force;
  for (int n = 1; n <= 20; ++n) {
    const double hz = n * note.frequency_hz;
    if (hz > 11000) break;
    const double body = hz / (hz + 160) / (1 + hz / bright_hz * (hz / bright_hz));
    patch.add(n, body / n, 0);
  }
  patch.attack_s = static_cast<float>(0.16 - 0.11 * force);
  patch.release_s = 0.45f;
  patch.pan = static_cast<float>(std::clamp(-note.octaves_above(60) * 0.15, -0.4, 0.4));  // violins on the left
  return patch;
}

ModalPatch pad(const NoteInput& note) noexcept {
  ModalPatch patch;
  const double steepness = 0.62 - 0.42 * static_cast<double>(note.force);
  for (int n = 1; n <= 8; ++n) patch.add(n, exp_of(-steepness * (n - 1)) / n, 0);
  patch.attack_s = 0.14f;
  patch.release_s = 0.9f;
  return patch;
}

}  // namespace romanesca
