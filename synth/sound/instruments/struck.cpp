#include <algorithm>
#include <cmath>

#include "synth/sound/deterministic_math.h"
#include "synth/sound/instruments/instruments.h"

namespace romanesca {

ModalPatch piano(const NoteInput& note) noexcept {
  ModalPatch patch;
  const double octaves = note.octaves_above(60);
  const auto force = static_cast<double>(note.force);
  const double stiffness = 3.0e-4 * exp2_of(std::max(octaves, -1.0) * 1.2);
  const double first_s = 11.0 * exp2_of(-std::max(octaves, -2.5) * 0.8);
  // The felt is a lowpass, by its contact time with the string: shorter with force and for high notes.
  const double felt_hz = (380 + 2300 * force * force) * exp2_of(octaves * 0.42);
  const double tuned = std::sqrt(1 + stiffness);
  for (int n = 1; n <= 16; ++n) {
    const double ratio = n * std::sqrt(1 + stiffness * n * n) / tuned;
    const double hz = ratio * note.frequency_hz;
    if (hz > 12000) break;
    const double strike = std::abs(rotation_of(n / 16.0).sine) + 0.08;
    const double board = hz / (hz + 90);  // the soundboard hardly moves below its first resonances
    const double level = strike * board / (1 + hz / felt_hz * (hz / felt_hz)) / std::sqrt(static_cast<double>(n));
    const double decay_s = first_s / (1 + 0.28 * (n - 1));
    if (n <= 3) {
      patch.add(ratio, 0.62 * level, decay_s * 0.32);
      patch.add(ratio * 1.00012, 0.38 * level, decay_s);
    } else {
      patch.add(ratio, level, decay_s * 0.45);
    }
  }
  patch.attack_s = static_cast<float>(0.0006 + 0.0012 * (1 - force));
  patch.release_s = note.midi >= 90 ? 2.0f : 0.22f;  // the highest strings have no dampers
  patch.noise = static_cast<float>(0.16 * force);
  patch.noise_decay_s = 0.045f;
  patch.noise_cutoff_hz = static_cast<float>(500 + 2200 * force);
  patch.pan = static_cast<float>(std::clamp(octaves * 0.12, -0.4, 0.4));
  return patch;
}

ModalPatch vibraphone(const NoteInput& note) noexcept {
  ModalPatch patch;
  const auto force = static_cast<double>(note.force);
  const double octaves = note.octaves_above(65);
  const double ring_s = 6.0 * exp2_of(-octaves * 0.7);
  patch.add(1, 1.0, ring_s);
  patch.add(4, 0.05 + 0.24 * force, ring_s * 0.22);
  patch.add(9.9, 0.01 + 0.09 * force, ring_s * 0.06);
  patch.attack_s = 0.0012f;
  patch.release_s = 0.35f;
  patch.noise = static_cast<float>(0.05 * force);
  patch.noise_decay_s = 0.012f;
  patch.noise_cutoff_hz = 2200;
  patch.pan = static_cast<float>(std::clamp(octaves * 0.15, -0.35, 0.35));
  return patch;
}

ModalPatch bell(const NoteInput& note) noexcept {
  ModalPatch patch;
  const auto force = static_cast<double>(note.force);
  const double octaves = note.octaves_above(72);
  const double ring_s = 3.2 * exp2_of(-octaves * 0.6);
  patch.add(1, 1.0, ring_s);
  patch.add(2.756, 0.10 + 0.28 * force, ring_s * 0.4);
  patch.add(5.404, 0.03 + 0.18 * force, ring_s * 0.16);
  patch.add(8.933, 0.01 + 0.07 * force, ring_s * 0.08);
  patch.attack_s = 0.0008f;
  patch.release_s = 0.9f;
  patch.noise = static_cast<float>(0.05 * force);
  patch.noise_decay_s = 0.006f;
  patch.noise_cutoff_hz = 7000;
  patch.pan = static_cast<float>(std::clamp(octaves * 0.1, -0.3, 0.3));
  return patch;
}

}  // namespace romanesca
