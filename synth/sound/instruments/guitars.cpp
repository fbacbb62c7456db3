#include <array>
#include <cmath>

#include "synth/sound/deterministic_math.h"
#include "synth/sound/instruments/instruments.h"
#include "synth/sound/instruments/plucked_string.h"

// Numbers by comparing partials, decays and octave bands with those of sampled guitars and mixes
// (tests/measure/mix_meter.cpp).

namespace romanesca {
namespace {

/// What differs between electric guitars.
struct ElectricSound {
  double position, pickup;
  double softest_mode, hardest_mode;  ///< Pluck::soft_modes without force, and what full force adds
  double highest_hz;
  double decay_s, damping;
  int modes = 28;
};

ModalPatch electric_guitar(const NoteInput& note, const ElectricSound& sound) noexcept {
  ModalPatch patch;
  const double octaves = note.octaves_above(52);
  const auto force = static_cast<double>(note.force);
  add_plucked_modes(patch,
                    {.position = sound.position,
                     .pickup = sound.pickup,
                     .soft_modes = sound.softest_mode + sound.hardest_mode * force * force,
                     .highest_hz = sound.highest_hz,
                     .first_decay_s = sound.decay_s * exp2_of(-octaves * 0.5),
                     .damping = sound.damping,
                     .stiffness = 6e-5,
                     .modes = sound.modes},
                    note.frequency_hz);
  patch.attack_s = 0.0008f;
  patch.release_s = 0.1f;
  patch.noise = static_cast<float>(0.10 * force);
  patch.noise_decay_s = 0.02f;
  patch.noise_low_hz = 900;
  patch.noise_cutoff_hz = 4500;
  return patch;
}

}  // namespace

ModalPatch nylon_guitar(const NoteInput& note) noexcept {
  ModalPatch patch;
  const double octaves = note.octaves_above(52);
  const auto force = static_cast<double>(note.force);
  add_plucked_modes(patch,
                    {.position = 0.24,
                     .soft_modes = 2.2 + 9 * force * force,
                     .highest_hz = 5000,
                     .first_decay_s = 5.0 * exp2_of(-octaves * 0.45),
                     .damping = 0.16,
                     .quick_share = 0.6,
                     .stiffness = 2e-5,
                     .modes = 20},
                    note.frequency_hz);
  constexpr std::array<BodyMode, 4> body{{{98, 0.3, 0.05}, {196, 0.5, 0.10}, {420, 0.5, 0.05}, {1150, 3.0, 0.03}}};
  add_body(patch, body, note.frequency_hz, 0.25);
  patch.attack_s = 0.0012f;
  patch.release_s = 0.16f;
  patch.noise = static_cast<float>(0.20 * force);
  patch.noise_decay_s = 0.05f;
  patch.noise_low_hz = 700;
  patch.noise_cutoff_hz = 5000;
  return patch;
}

ModalPatch steel_guitar(const NoteInput& note) noexcept {
  ModalPatch patch;
  const double octaves = note.octaves_above(52);
  const auto force = static_cast<double>(note.force);
  add_plucked_modes(patch,
                    {.position = 0.19 - 0.05 * force,
                     .soft_modes = 3 + 15 * force * force,
                     .highest_hz = 9000,
                     .first_decay_s = 6.0 * exp2_of(-octaves * 0.4),
                     .damping = 0.09,
                     .quick_share = 0.25,
                     .stiffness = 5e-5,
                     .modes = 28},
                    note.frequency_hz);
  constexpr std::array<BodyMode, 4> body{{{105, 0.3, 0.05}, {200, 0.4, 0.05}, {3200, 1.8, 0.03}, {6200, 1.6, 0.02}}};
  add_body(patch, body, note.frequency_hz, 0.2);
  patch.attack_s = 0.0006f;
  patch.release_s = 0.14f;
  patch.noise = static_cast<float>(0.30 * force);
  patch.noise_decay_s = 0.035f;
  patch.noise_low_hz = 1800;
  patch.noise_cutoff_hz = 9000;
  return patch;
}

ModalPatch clean_guitar(const NoteInput& note) noexcept {
  return electric_guitar(note, {.position = 0.17,
                                .pickup = 0.13,
                                .softest_mode = 1.8,
                                .hardest_mode = 18,
                                .highest_hz = 4500,
                                .decay_s = 6,
                                .damping = 0.1});
}

ModalPatch muted_guitar(const NoteInput& note) noexcept {
  ModalPatch patch = electric_guitar(note, {.position = 0.15,
                                            .pickup = 0.1,
                                            .softest_mode = 1.7,
                                            .hardest_mode = 9,
                                            .highest_hz = 3200,
                                            .decay_s = 0.5,
                                            .damping = 0.14,
                                            .modes = 20});
  // The heel of the hand knocks on strings and bridge.
  patch.add(105 / note.frequency_hz, 0.05, 0.12);
  patch.release_s = 0.07f;
  return patch;
}

ModalPatch driven_guitar(const NoteInput& note) noexcept {
  ModalPatch patch;
  const auto force = static_cast<double>(note.force);
  // An overdriven amplifier flattens the string's own spectrum and decay; its loudspeaker ends near 5 kHz.
  const double steepness = 0.95 - 0.45 * force;
  for (int n = 1; n <= 36; ++n) {
    const double hz = n * note.frequency_hz;
    if (hz > 9000) break;
    const double low = hz / (hz + 110);
    const double high = hz / 3800;
    const double odd = n % 2 == 1 ? 1 : 0.7;
    const double level = odd * low * exp2_of(-steepness * log2_of(n)) / std::sqrt(1 + high * high * high * high);
    patch.add(n, level, 14 / (1 + 0.02 * n));
  }
  patch.attack_s = 0.003f;
  patch.release_s = 0.09f;
  patch.noise = static_cast<float>(0.12 * force);
  patch.noise_decay_s = 0.05f;
  patch.noise_low_hz = 1200;
  patch.noise_cutoff_hz = 4500;
  return patch;
}

}  // namespace romanesca
