#pragma once

#include <array>
#include <cstdint>
#include <span>
#include <vector>

namespace romanesca {

/// A mode of a head or a block of wood: a sine that glides down to its pitch.
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

/// The ring of a cymbal: inharmonic sines between hz and four times hz.
struct DrumMetal {
  float hz = 0, level = 0, decay_s = 0.1f;
  int sines = 14;  ///< 1 to 14
};

/// How a drum sounds. Levels are linear.
struct DrumPatch {
  int key = 36;  ///< General MIDI percussion key
  std::array<DrumTone, 4> tones{};
  std::array<DrumNoise, 3> noises{};
  DrumMetal metal{};
  int bursts = 1;  ///< of a clap: the noise starts again every burst_s
  float burst_s = 0.011f;
  int choke_group = 0;  ///< drums of one group stop each other; 0 for none
  float level = 1;
  float pan = 0;  ///< -1 left, 1 right, as the audience sees it
};

/// The patch of a percussion key, or of the most similar one (a crash for a splash cymbal, a tom for a timbale).
/// @param patches not empty.
[[nodiscard]] const DrumPatch& nearest_drum_patch(std::span<const DrumPatch> patches, int key) noexcept;

/// One stroke, softly and with full force; both equally long, a multiple of block_frames.
struct DrumSamples {
  std::vector<float> soft, hard;
};

/// The force of DrumSamples::soft.
inline constexpr float soft_drum_force = 0.25f;

/// The samples of one stroke until silence. @param variant another one has other noise, and its ring other phases: no
/// two strokes of a drum are alike @param most_frames a stroke that lasts longer is cut there
[[nodiscard]] DrumSamples synthesise_drum(const DrumPatch& patch, double sample_rate_hz, std::uint32_t variant,
                                          std::size_t most_frames);

}  // namespace romanesca
