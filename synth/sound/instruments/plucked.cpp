#include <cmath>

#include "synth/sound/deterministic_math.h"
#include "synth/sound/instruments/instruments.h"

namespace romanesca {
namespace {

/// How a string is plucked, and how it dies away.
struct Pluck {
  double position = 0.2;     ///< fraction of the string length, 0 to 0.5: modes with a node there stay silent
  double width = 0.02;       ///< of finger or pick, as a fraction of the length: a wider one damps the upper modes
  double first_decay_s = 3;  ///< of the first mode, to fall by 60 dB
  double damping = 0.3;      ///< how much quicker each further mode decays
  double stiffness = 0;      ///< B of n sqrt(1 + B n^2)
  int modes = 14;
};

/// Adds the modes of an ideal string released from a triangle, as the bridge receives them: the force of mode n is
/// sin(n pi position) / n (Fletcher & Rossing, ch. 2), smoothed by the width of finger or pick. Tuned so that the first
/// mode is the note.
void add_plucked_modes(ModalPatch& patch, const Pluck& pluck) noexcept {
  const double tuned = std::sqrt(1 + pluck.stiffness);
  for (int n = 1; n <= pluck.modes; ++n) {
    const double ratio = n * std::sqrt(1 + pluck.stiffness * n * n) / tuned;
    // A real string is never plucked in one point, so no mode is quite silent.
    const double mode = std::abs(rotation_of(n * pluck.position / 2).sine) + 0.03;
    const double smoothed = exp_of(-pluck.width * pluck.width * 40 * n * n);
    patch.add(ratio, mode / n * smoothed, pluck.first_decay_s / (1 + pluck.damping * (n - 1)));
  }
}

}  // namespace

ModalPatch nylon_guitar(const NoteInput& note) noexcept {
  ModalPatch patch;
  const double octaves = note.octaves_above(52);
  const auto force = static_cast<double>(note.force);
  add_plucked_modes(patch, {.position = 0.26,
                            .width = 0.058 - 0.034 * force,
                            .first_decay_s = 3.0 * exp2_of(-octaves * 0.6),
                            .damping = 0.42,
                            .stiffness = 2e-5,
                            .modes = 14});
  patch.attack_s = 0.0015f;
  patch.release_s = 0.16f;
  patch.noise = static_cast<float>(0.10 * force);
  patch.noise_decay_s = 0.018f;
  patch.noise_cutoff_hz = 3000;
  return patch;
}

ModalPatch steel_guitar(const NoteInput& note) noexcept {
  ModalPatch patch;
  const double octaves = note.octaves_above(52);
  const auto force = static_cast<double>(note.force);
  add_plucked_modes(patch, {.position = 0.19 - 0.05 * force,
                            .width = 0.036 - 0.024 * force,
                            .first_decay_s = 5.0 * exp2_of(-octaves * 0.55),
                            .damping = 0.26,
                            .stiffness = 5e-5,
                            .modes = 20});
  patch.attack_s = 0.0008f;
  patch.release_s = 0.14f;
  patch.noise = static_cast<float>(0.16 * force);
  patch.noise_decay_s = 0.012f;
  patch.noise_cutoff_hz = 6000;
  return patch;
}

ModalPatch electric_bass(const NoteInput& note) noexcept {
  ModalPatch patch;
  const double octaves = note.octaves_above(36);
  const auto force = static_cast<double>(note.force);
  add_plucked_modes(patch, {.position = 0.22,
                            .width = 0.062 - 0.034 * force,
                            .first_decay_s = 4.5 * exp2_of(-octaves * 0.5),
                            .damping = 0.35,
                            .stiffness = 4e-5,
                            .modes = 16});
  patch.attack_s = 0.003f;
  patch.release_s = 0.11f;
  patch.noise = static_cast<float>(0.08 * force);
  patch.noise_decay_s = 0.02f;
  patch.noise_cutoff_hz = 1500;
  return patch;
}

ModalPatch upright_bass(const NoteInput& note) noexcept {
  ModalPatch patch;
  const double octaves = note.octaves_above(36);
  const auto force = static_cast<double>(note.force);
  add_plucked_modes(patch, {.position = 0.3,
                            .width = 0.085 - 0.032 * force,
                            .first_decay_s = 2.1 * exp2_of(-octaves * 0.45),
                            .damping = 0.55,
                            .stiffness = 6e-5,
                            .modes = 12});
  for (std::size_t i = 0; i < patch.count; ++i) {
    Partial& partial = patch.partials[i];
    const double away = log2_of(partial.ratio * note.frequency_hz / 105.0);
    partial.level *= static_cast<float>(1 + 0.9 / (1 + 4 * away * away));
  }
  patch.attack_s = 0.006f;
  patch.release_s = 0.14f;
  patch.noise = static_cast<float>(0.13 * force);
  patch.noise_decay_s = 0.035f;
  patch.noise_cutoff_hz = 900;
  return patch;
}

}  // namespace romanesca
