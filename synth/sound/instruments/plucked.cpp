#include <cmath>

#include "synth/sound/deterministic_math.h"
#include "synth/sound/instruments/instruments.h"

namespace romanesca {
namespace {

/// How a string is plucked, and how it dies away.
struct Pluck {
  double place = 0.2;        ///< where, as a part of the length, 0 to 0.5: modes with a node there stay silent
  double width = 0.02;       ///< of finger or pick, as a part of the length: wider takes the upper modes away
  double first_decay_s = 3;  ///< of the first mode, to fall by 60 dB
  double damping = 0.3;      ///< how much quicker each further mode decays
  double stiffness = 0;      ///< B of n sqrt(1 + B n^2)
  int modes = 14;
};

/// Adds the modes of an ideal string that is let go from a triangle, as the bridge hears them: the force of mode n is
/// sin(n pi place) / n (Fletcher & Rossing, ch. 2), smoothed by the width of what plucks. Tuned so that the first mode
/// is the note.
void add_plucked_modes(ModalPatch& recipe, const Pluck& pluck) noexcept {
  const double tuned = std::sqrt(1 + pluck.stiffness);
  for (int n = 1; n <= pluck.modes; ++n) {
    const double ratio = n * std::sqrt(1 + pluck.stiffness * n * n) / tuned;
    // A real string is never plucked in one point, so no mode is quite silent.
    const double mode = std::abs(rotation_of(n * pluck.place / 2).sine) + 0.03;
    const double smoothed = exp_of(-pluck.width * pluck.width * 40 * n * n);
    recipe.add(ratio, mode / n * smoothed, pluck.first_decay_s / (1 + pluck.damping * (n - 1)));
  }
}

}  // namespace

ModalPatch nylon_guitar(const NoteInput& touch) noexcept {
  ModalPatch recipe;
  const double octaves = touch.octaves_above(52);
  const auto force = static_cast<double>(touch.force);
  add_plucked_modes(recipe, {.place = 0.26,
                             .width = 0.058 - 0.034 * force,
                             .first_decay_s = 3.0 * exp2_of(-octaves * 0.6),
                             .damping = 0.42,
                             .stiffness = 2e-5,
                             .modes = 14});
  recipe.attack_s = 0.0015f;
  recipe.release_s = 0.16f;
  recipe.noise = static_cast<float>(0.10 * force);
  recipe.noise_decay_s = 0.018f;
  recipe.noise_cutoff_hz = 3000;
  return recipe;
}

ModalPatch steel_guitar(const NoteInput& touch) noexcept {
  ModalPatch recipe;
  const double octaves = touch.octaves_above(52);
  const auto force = static_cast<double>(touch.force);
  add_plucked_modes(recipe, {.place = 0.19 - 0.05 * force,
                             .width = 0.036 - 0.024 * force,
                             .first_decay_s = 5.0 * exp2_of(-octaves * 0.55),
                             .damping = 0.26,
                             .stiffness = 5e-5,
                             .modes = 20});
  recipe.attack_s = 0.0008f;
  recipe.release_s = 0.14f;
  recipe.noise = static_cast<float>(0.16 * force);
  recipe.noise_decay_s = 0.012f;
  recipe.noise_cutoff_hz = 6000;
  return recipe;
}

ModalPatch electric_bass(const NoteInput& touch) noexcept {
  ModalPatch recipe;
  const double octaves = touch.octaves_above(36);
  const auto force = static_cast<double>(touch.force);
  add_plucked_modes(recipe, {.place = 0.22,
                             .width = 0.062 - 0.034 * force,
                             .first_decay_s = 4.5 * exp2_of(-octaves * 0.5),
                             .damping = 0.35,
                             .stiffness = 4e-5,
                             .modes = 16});
  recipe.attack_s = 0.003f;
  recipe.release_s = 0.11f;
  recipe.noise = static_cast<float>(0.08 * force);
  recipe.noise_decay_s = 0.02f;
  recipe.noise_cutoff_hz = 1500;
  return recipe;
}

ModalPatch upright_bass(const NoteInput& touch) noexcept {
  ModalPatch recipe;
  const double octaves = touch.octaves_above(36);
  const auto force = static_cast<double>(touch.force);
  add_plucked_modes(recipe, {.place = 0.3,
                             .width = 0.085 - 0.032 * force,
                             .first_decay_s = 2.1 * exp2_of(-octaves * 0.45),
                             .damping = 0.55,
                             .stiffness = 6e-5,
                             .modes = 12});
  for (std::size_t i = 0; i < recipe.count; ++i) {
    Partial& partial = recipe.partials[i];
    const double away = log2_of(partial.ratio * touch.frequency_hz / 105.0);
    partial.level *= static_cast<float>(1 + 0.9 / (1 + 4 * away * away));
  }
  recipe.attack_s = 0.006f;
  recipe.release_s = 0.14f;
  recipe.noise = static_cast<float>(0.13 * force);
  recipe.noise_decay_s = 0.035f;
  recipe.noise_cutoff_hz = 900;
  return recipe;
}

}  // namespace romanesca
