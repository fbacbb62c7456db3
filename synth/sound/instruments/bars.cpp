#include <algorithm>

#include "synth/sound/deterministic_math.h"
#include "synth/sound/instruments/instruments.h"

namespace romanesca {

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
  patch.add(2.756, 0.5 + 0.5 * force, ring_s * 0.6);
  patch.add(5.404, 0.25 + 0.5 * force, ring_s * 0.3);
  patch.add(8.933, 0.1 + 0.4 * force, ring_s * 0.16);
  patch.add(13.34, 0.05 + 0.25 * force, ring_s * 0.1);
  patch.add(18.64, 0.15 * force, ring_s * 0.06);
  patch.attack_s = 0.0008f;
  patch.release_s = 0.9f;
  patch.noise = static_cast<float>(0.05 * force);
  patch.noise_decay_s = 0.02f;
  patch.noise_low_hz = 2000;
  patch.noise_cutoff_hz = 9000;
  patch.pan = static_cast<float>(std::clamp(octaves * 0.1, -0.3, 0.3));
  return patch;
}

}  // namespace romanesca
