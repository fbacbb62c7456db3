#include <algorithm>
#include <cmath>

#include "synth/sound/deterministic_math.h"
#include "synth/sound/instruments/instruments.h"

namespace romanesca {

ModalPatch brass(const NoteInput& note) noexcept {
  ModalPatch patch;
  const auto force = static_cast<double>(note.force);
  // The louder, the further up the spectrum reaches; the upper harmonics come in later (Risset & Mathews, Physics
  // Today 22/2, 1969). What is not there yet is a component of the same pitch that takes it away and dies out.
  const double bright_hz = 600 + 3500 * force * force;
  for (int n = 1; n <= 18; ++n) {
    const double hz = n * note.frequency_hz;
    if (hz > 10000) break;
    const double high = hz / bright_hz;
    const double level = hz / (hz + 220) / (1 + high * high) / std::sqrt(static_cast<double>(n));
    patch.add(n, level, 0);
    if (n > 2) patch.add(n, -0.85 * level, std::min(0.06 + 0.03 * n, 0.3));
  }
  patch.attack_s = static_cast<float>(0.045 - 0.025 * force);
  patch.release_s = 0.12f;
  patch.noise = static_cast<float>(0.05 * force);
  patch.noise_decay_s = 0.08f;
  patch.noise_low_hz = 800;
  patch.noise_cutoff_hz = 5000;
  return patch;
}

ModalPatch accordion(const NoteInput& note) noexcept {
  ModalPatch patch;
  const auto force = static_cast<double>(note.force);
  // A free reed opens for a part of its cycle: many harmonics, which the bellows' force brings out.
  const double bright_hz = 1500 + 2800 * force;
  const double steepness = 0.8 - 0.4 * force;
  for (int n = 1; n <= 24; ++n) {
    const double hz = n * note.frequency_hz;
    if (hz > 10000) break;
    const double high = hz / bright_hz;
    patch.add(n, exp2_of(-steepness * log2_of(n)) / (1 + high * high), 0);
  }
  patch.attack_s = static_cast<float>(0.05 - 0.03 * force);
  patch.release_s = 0.09f;
  patch.noise = 0.04f;  // the button
  patch.noise_decay_s = 0.02f;
  patch.noise_low_hz = 600;
  patch.noise_cutoff_hz = 4000;
  return patch;
}

ModalPatch clarinet(const NoteInput& note) noexcept {
  ModalPatch patch;
  const auto force = static_cast<double>(note.force);
  // A cylinder closed by the reed: in the low register hardly any even harmonics; they return with height (Fletcher &
  // Rossing, ch. 15).
  const double even = std::clamp(0.12 + 0.25 * note.octaves_above(60), 0.06, 0.7);
  const double bright_hz = 500 + 2900 * force * force;
  for (int n = 1; n <= 16; ++n) {
    const double hz = n * note.frequency_hz;
    if (hz > 9000) break;
    const double high = hz / bright_hz;
    patch.add(n, (n % 2 == 1 ? 1.0 : even) / std::sqrt(static_cast<double>(n)) / (1 + high * high), 0);
  }
  patch.attack_s = static_cast<float>(0.05 - 0.02 * force);
  patch.release_s = 0.1f;
  patch.noise = static_cast<float>(0.015 * force);  // breath, while the note holds
  patch.noise_decay_s = 8;
  patch.noise_low_hz = 1500;
  patch.noise_cutoff_hz = 5000;
  return patch;
}

ModalPatch flute(const NoteInput& note) noexcept {
  ModalPatch patch;
  const auto force = static_cast<double>(note.force);
  // A pipe open at both ends has all harmonics; those above the second fall quickly, the more the higher and the softer
  // the note (Fletcher & Rossing, ch. 16). The powers are a choice.
  const double height = std::max(0.0, note.octaves_above(60));
  const double steepness = 1.1 + 1.5 * (1 - force) + 0.6 * height;
  for (int n = 1; n <= 10; ++n) {
    if (n * note.frequency_hz > 10000) break;
    patch.add(n, exp2_of(-steepness * log2_of(n)), 0);
  }
  patch.attack_s = static_cast<float>(0.07 - 0.03 * force);
  patch.release_s = 0.1f;
  patch.noise = static_cast<float>(0.03 * force);  // breath, while the note holds
  patch.noise_decay_s = 8;
  patch.noise_low_hz = 1500;
  patch.noise_cutoff_hz = 6000;
  return patch;
}

}  // namespace romanesca
