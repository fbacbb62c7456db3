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
  const double felt_hz = (600 + 5200 * force * force) * exp2_of(octaves * 0.25);
  const double tuned = std::sqrt(1 + stiffness);
  const int most = octaves < -1 ? 34 : 24;
  for (int n = 1; n <= most; ++n) {
    const double ratio = n * std::sqrt(1 + stiffness * n * n) / tuned;
    const double hz = ratio * note.frequency_hz;
    if (hz > 12000) break;
    const double strike = std::abs(rotation_of(n / 16.0).sine) + 0.15;
    const double board = hz / (hz + 60);  // the soundboard hardly moves below its first resonances
    const double high = hz / felt_hz;
    const double body = n == 1 ? 2.4 : 1;
    const double level = body * strike * board / (1 + high * high) * exp2_of(-0.75 * log2_of(n));
    const double decay_s = first_s / (1 + 0.2 * (n - 1));
    if (n <= 3) {
      patch.add(ratio, 0.62 * level, decay_s * 0.32);
      patch.add(ratio * 1.00012, 0.38 * level, decay_s);
    } else {
      patch.add(ratio, level, decay_s * 0.5);
    }
  }
  patch.attack_s = static_cast<float>(0.0006 + 0.0012 * (1 - force));
  patch.release_s = note.midi >= 90 ? 2.0f : 0.22f;  // the highest strings have no dampers
  patch.noise = static_cast<float>(0.30 * force);
  patch.noise_decay_s = 0.07f;
  patch.noise_cutoff_hz = static_cast<float>(700 + 3800 * force);
  patch.pan = static_cast<float>(std::clamp(octaves * 0.12, -0.4, 0.4));
  return patch;
}

ModalPatch electric_piano(const NoteInput& note) noexcept {
  ModalPatch patch;
  const auto force = static_cast<double>(note.force);
  const double octaves = note.octaves_above(60);
  const double ring_s = 8.0 * exp2_of(-octaves * 0.6);
  // Each harmonic is that much weaker than the one before.
  const double bend = std::clamp((0.26 + 0.5 * force) * exp2_of(-std::max(octaves, -1.5) * 0.42), 0.05, 0.86);
  double level = 1;
  for (int n = 1; n <= 18 && n * note.frequency_hz < 9000; ++n) {
    // The tine rests a little beside the middle of the pickup, so that some harmonics are weaker.
    const double aside = n == 1 ? 1 : 0.55 + 0.45 * std::abs(rotation_of((n - 2) * 0.19 / 2).cosine);
    patch.add(n, level * aside, ring_s / (1 + 0.33 * (n - 1)));
    level *= bend;
  }
  const double bell = 0.16 * force * exp2_of(-std::max(octaves, 0.0) * 0.6);
  patch.add(6.267, 2.2 * bell, 0.22);
  patch.add(17.55, bell, 0.14);
  patch.attack_s = 0.0012f;
  patch.release_s = 0.17f;
  patch.noise = static_cast<float>(0.12 * force);
  patch.noise_decay_s = 0.03f;
  patch.noise_low_hz = 300;
  patch.noise_cutoff_hz = 3500;
  patch.pan = static_cast<float>(std::clamp(octaves * 0.1, -0.35, 0.35));
  return patch;
}

}  // namespace romanesca
