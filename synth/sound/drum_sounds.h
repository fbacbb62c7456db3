#pragma once

#include <span>
#include <vector>

namespace romanesca {

/// How a drum sounds: a tone that may glide, noise through a band, and a few fixed partials. Levels are linear.
struct DrumRecipe {
  int key = 36;                                      ///< General MIDI percussion key
  float tone_hz = 0, glide_hz = 0, glide_s = 0.02f;  ///< starts at tone + glide, falls to tone with that time constant
  float tone = 0, tone_decay_s = 0.1f;               ///< 60 dB
  float noise = 0, noise_decay_s = 0.1f;
  float noise_low_hz = 200, noise_high_hz = 8000;       ///< band of the noise
  float metal = 0, metal_hz = 0, metal_decay_s = 0.1f;  ///< six clanging partials from that frequency up
  int bursts = 1;                                       ///< hands of a clap
  int choke_group = 0;                                  ///< hats silence each other
  float level = 1;
};

/// All drums of the kit, in order of their keys.
[[nodiscard]] std::span<const DrumRecipe> drum_recipes() noexcept;
/// The recipe for a percussion key, or the nearest in kind (cowbells are blocks, congas are toms).
[[nodiscard]] const DrumRecipe& drum_recipe(int key) noexcept;

/// The drum as samples, from its stroke to silence. @param force 0 to 1 brightens it.
[[nodiscard]] std::vector<float> drum_sound(const DrumRecipe& recipe, float force, double sample_rate_hz);

}  // namespace romanesca
