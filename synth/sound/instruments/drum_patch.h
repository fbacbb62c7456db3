#pragma once

#include <array>
#include <span>
#include <vector>

namespace romanesca {

/// A head or a block of wood: a sine that glides down to its pitch.
struct DrumTone {
  float hz = 0;
  float glide_hz = 0, glide_s = 0.02f;  ///< starts at hz + glide, falls to hz with that time constant
  float level = 0, decay_s = 0.1f;      ///< 60 dB
};

/// Noise through a band: wires, hands, beads, sticks.
struct DrumNoise {
  float low_hz = 200, high_hz = 8000;  ///< 12 dB an octave outside
  float level = 0, decay_s = 0.1f;
  float attack_s = 0;  ///< 0 for a stroke, more for a sweep
};

/// The clang of a cymbal: sines of no common measure between hz and four times hz.
struct DrumMetal {
  float hz = 0, level = 0, decay_s = 0.1f;
  int sines = 14;  ///< 1 to 14
};

/// How a drum sounds. Levels are linear.
struct DrumPatch {
  int key = 36;  ///< General MIDI percussion key
  std::array<DrumTone, 2> tones{};
  std::array<DrumNoise, 2> noises{};
  DrumMetal metal{};
  int bursts = 1;  ///< hands of a clap: noise that begins again every burst_s
  float burst_s = 0.011f;
  int choke_group = 0;  ///< those of one group, but 0, silence each other
  float level = 1;
  float place = 0;  ///< -1 left, 1 right, as the audience sees it
};

/// The recipe for a percussion key, or the nearest in kind (splash cymbals are crashes, timbales toms).
/// @param recipes not empty.
[[nodiscard]] const DrumPatch& drum_recipe(std::span<const DrumPatch> recipes, int key) noexcept;

/// The drum as samples, from its stroke to silence. @param force 0 to 1 brightens it.
[[nodiscard]] std::vector<float> drum_sound(const DrumPatch& recipe, float force, double sample_rate_hz);

}  // namespace romanesca
