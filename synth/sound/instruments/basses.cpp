#include <array>
#include <cmath>

#include "synth/sound/deterministic_math.h"
#include "synth/sound/instruments/instruments.h"
#include "synth/sound/instruments/plucked_string.h"

// Numbers by comparing partials, decays and octave bands with those of sampled basses and mixes
// (tests/measure/mix_meter.cpp).

namespace romanesca {

ModalPatch electric_bass(const NoteInput& note) noexcept {
  ModalPatch patch;
  const double octaves = note.octaves_above(36);
  const auto force = static_cast<double>(note.force);
  add_plucked_modes(patch,
                    {.position = 0.22,
                     .pickup = 0.2,
                     .soft_modes = 1.8 + 16 * force * force,
                     .highest_hz = 2600,
                     .lowest_hz = 40,
                     .first_decay_s = 6.0 * exp2_of(-octaves * 0.4),
                     .damping = 0.07,
                     .stiffness = 5e-5,
                     .modes = 24},
                    note.frequency_hz);
  patch.attack_s = 0.003f;
  patch.release_s = 0.11f;
  patch.noise = static_cast<float>(0.14 * force);
  patch.noise_decay_s = 0.03f;
  patch.noise_low_hz = 350;
  patch.noise_cutoff_hz = 2500;
  return patch;
}

ModalPatch upright_bass(const NoteInput& note) noexcept {
  ModalPatch patch;
  const double octaves = note.octaves_above(36);
  const auto force = static_cast<double>(note.force);
  add_plucked_modes(patch,
                    {.position = 0.27,
                     .soft_modes = 1.8 + 7 * force * force,
                     .highest_hz = 1600,
                     .lowest_hz = 60,
                     .first_decay_s = 5.0 * exp2_of(-octaves * 0.35),
                     .damping = 0.22,
                     .quick_share = 0.35,
                     .stiffness = 7e-5,
                     .modes = 22},
                    note.frequency_hz);
  constexpr std::array<BodyMode, 3> body{{{105, 0.9, 0.04}, {215, 0.5, 0.04}, {700, 1.0, 0.02}}};
  add_body(patch, body, note.frequency_hz, 0.16);
  patch.attack_s = 0.005f;
  patch.release_s = 0.16f;
  patch.noise = static_cast<float>(0.26 * force);
  patch.noise_decay_s = 0.06f;
  patch.noise_low_hz = 250;
  patch.noise_cutoff_hz = 2200;
  return patch;
}

ModalPatch synth_bass(const NoteInput& note) noexcept {
  ModalPatch patch;
  const auto force = static_cast<double>(note.force);
  // A saw through a low-pass of 12 dB an octave that closes: what it lets through when open dies away, the rest holds.
  const double closed_hz = 200 + 400 * force;
  const double open_hz = 500 + 4500 * force * force;
  const auto through = [](double hz, double corner_hz) {
    const double high = hz / corner_hz;
    return 1 / (1 + high * high);
  };
  for (int n = 1; n <= 20; ++n) {
    const double hz = n * note.frequency_hz;
    if (hz > 8000) break;
    const double held = through(hz, closed_hz) / n;
    const double opened = through(hz, open_hz) / n;
    patch.add(n, held, 0);
    patch.add(n, opened - held, 0.9 / (1 + 0.12 * n));
  }
  patch.attack_s = 0.003f;
  patch.release_s = 0.08f;
  return patch;
}

}  // namespace romanesca
