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
  const double ring_s = 5.0 * exp2_of(-octaves * 0.3);
  const double quick_s = 0.8 * exp2_of(-octaves * 0.7);
  patch.add(1, 1.0, ring_s);
  patch.add(2.75, 0.4, quick_s * 1.6);
  patch.add(5.31, 1.4, quick_s);
  patch.add(6.93, 0.4, quick_s * 1.5);
  patch.add(8.6, 0.7, quick_s * 0.9);
  patch.add(12.75, 0.3 + 0.6 * force, quick_s * 0.6);
  patch.add(16.5, 0.4 * force, quick_s * 0.4);
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
