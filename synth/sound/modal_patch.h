#pragma once

#include <array>
#include <cstddef>

namespace romanesca {

inline constexpr std::size_t most_partials = 40;

/// One sine of a tone.
struct Partial {
  double ratio = 1;   ///< to the note's frequency
  float level = 0;    ///< linear, relative to the others; negative for what is taken away from another of that ratio
  float decay_s = 0;  ///< time to fall by 60 dB; 0 for a tone that holds
};

/// The modes of a struck, plucked or held tone. A modal instrument is a function from a note to a patch.
struct ModalPatch {
  std::array<Partial, most_partials> partials{};
  std::size_t count = 0;
  float attack_s = 0.002f;      ///< linear rise, 0 to 1
  float release_s = 0.12f;      ///< time to fall by 60 dB after the release of the key, 0.005 to 10
  float noise = 0;              ///< level of the noise of hammer or pick, relative to the tone
  float noise_decay_s = 0.02f;  ///< of that noise, to fall by 60 dB
  float noise_cutoff_hz = 4000;
  float noise_low_hz = 0;  ///< below it the noise is weaker, 6 dB an octave; 0 for none of that
  float pan = 0;           ///< of this note within the instrument: -1 left, 0 middle, 1 right

  /// Partials beyond the most are left out.
  void add(double ratio, double level, double decay_s) noexcept {
    if (count < most_partials) partials[count++] = {ratio, static_cast<float>(level), static_cast<float>(decay_s)};
  }
};

/// A note as an instrument sees it.
struct NoteInput {
  int midi = 60;
  float force = 0.6f;  ///< 0 to 1: velocity / 127
  double frequency_hz = 261.6255653;

  /// Octaves above a note; below it negative.
  [[nodiscard]] double octaves_above(int note) const noexcept { return (midi - note) / 12.0; }
};

}  // namespace romanesca
