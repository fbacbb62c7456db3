#pragma once

#include <array>
#include <cmath>
#include <span>
#include <utility>

#include "tests/measure/sound_meter.h"

namespace romanesca::test {

/// The power near a frequency in windows of 0.4 s, one every 0.2 s, or in all of a shorter sound.
inline double mean_power(std::span<const float> sound, double frequency_hz, double sample_rate_hz) {
  const std::size_t window = std::min(sound.size(), static_cast<std::size_t>(0.4 * sample_rate_hz));
  const std::size_t hops = (sound.size() - window) * 2 / window;
  double power = 0;
  for (std::size_t i = 0; i <= hops; ++i) {
    power += std::norm(component(sound.subspan(i * window / 2, window), frequency_hz, sample_rate_hz));
  }
  return power / static_cast<double>(hops + 1);
}

/// How strongly each of the twelve pitch classes sounds, C first. The components at the semitones from E2 to B5 in
/// windows of 0.4 s, their powers added up, so that every stroke of a chord counts whatever its phase; less what lower
/// ones may have there as their second to fifth partials; the square roots of what is left are added up by class, so
/// that one loud note does not hide the others. Knows nothing of how the sound was made.
inline std::array<double, 12> chroma(std::span<const float> sound, double sample_rate_hz) {
  constexpr std::size_t lowest = 40;
  std::array<double, 44> levels{};
  for (std::size_t i = 0; i < levels.size(); ++i) {
    const double frequency_hz = 440 * std::exp2((static_cast<double>(lowest + i) - 69) / 12.0);
    levels[i] = std::sqrt(mean_power(sound, frequency_hz, sample_rate_hz));
  }
  constexpr std::array<std::pair<std::size_t, double>, 4> partials{{{12, 0.5}, {19, 0.4}, {24, 0.3}, {28, 0.25}}};
  std::array<double, 12> classes{};
  for (std::size_t i = 0; i < levels.size(); ++i) {
    classes[(lowest + i) % 12] += std::sqrt(levels[i]);
    for (const auto& [above, share] : partials) {
      if (i + above < levels.size()) levels[i + above] = std::max(0.0, levels[i + above] - share * levels[i]);
    }
  }
  return classes;
}

/// The major or minor triad whose tones have the largest share, as its root's class and whether it is minor; roots
/// count a little more.
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
