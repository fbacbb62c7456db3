#pragma once

#include <array>
#include <cstddef>

namespace romanesca {

inline constexpr std::size_t most_partials = 16;

/// One sine of a tone.
struct Partial {
  float ratio = 1;    ///< to the note's frequency
  float level = 0;    ///< linear, relative to the others
  float decay_s = 0;  ///< time to fall by 60 dB; 0 for a tone that holds
};

/// What a struck, plucked or held tone is made of. An instrument is a function from pitch and force to a recipe.
struct Recipe {
  std::array<Partial, most_partials> partials{};
  std::size_t count = 0;
  float attack_s = 0.002f;      ///< linear rise, 0 to 1
  float release_s = 0.12f;      ///< time to fall by 60 dB after the key is let go
  float noise = 0;              ///< level of the hammer's or pick's noise, relative to the tone
  float noise_decay_s = 0.02f;  ///< of that noise, to fall by 60 dB
  float noise_cutoff_hz = 4000;

  void add(float ratio, float level, float decay_s) noexcept {
    if (count < most_partials) partials[count++] = {ratio, level, decay_s};
  }
};

/// A note as an instrument sees it.
struct Touch {
  int midi = 60;
  float force = 0.6f;  ///< 0 to 1: velocity / 127
  float frequency_hz = 261.6f;
};

}  // namespace romanesca
