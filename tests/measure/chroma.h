#pragma once

#include <array>
#include <cmath>
#include <span>
#include <string>

#include "tests/measure/sound_meter.h"

namespace romanesca::test {

/// How strongly each of the twelve pitch classes sounds, C first: the components at the semitones from E2 to B5, their
/// square roots added up by class, so that one loud note does not hide the others. Knows nothing of how the sound was
/// made.
inline std::array<double, 12> chroma(std::span<const float> sound, double sample_rate_hz) {
  std::array<double, 12> classes{};
  for (int midi = 40; midi <= 83; ++midi) {
    const double frequency_hz = 440 * std::exp2((midi - 69) / 12.0);
    classes[static_cast<std::size_t>(midi % 12)] += std::sqrt(std::abs(component(sound, frequency_hz, sample_rate_hz)));
  }
  return classes;
}

/// The major or minor triad whose tones have the largest share, as its root's class and whether it is minor. The third
/// partial of a root sounds like its fifth and the fifth like its third, so roots count a little more.
struct HeardTriad {
  int root = 0;
  bool minor = false;
  friend bool operator==(const HeardTriad&, const HeardTriad&) = default;
};
inline HeardTriad heard_triad(std::span<const float> sound, double sample_rate_hz) {
  const std::array<double, 12> classes = chroma(sound, sample_rate_hz);
  HeardTriad best;
  double highest = -1;
  for (int root = 0; root < 12; ++root) {
    for (const bool minor : {false, true}) {
      const auto at = [&](int above) { return classes[static_cast<std::size_t>((root + above) % 12)]; };
      const double share = 1.1 * at(0) + at(minor ? 3 : 4) + at(7);
      if (share <= highest) continue;
      highest = share;
      best = {root, minor};
    }
  }
  return best;
}

}  // namespace romanesca::test
