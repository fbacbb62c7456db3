#pragma once

#include <array>
#include <cmath>
#include <cstdint>
#include <span>
#include <string>
#include <vector>

#include "synth/sound/loudness.h"
#include "synth/sound/performer.h"
#include "tests/measure/spectrum.h"

namespace romanesca::test {

/// Centres of the octave bands (IEC 61260-1, nominal).
inline constexpr std::array<double, 9> octave_centres_hz{31.5, 63, 125, 250, 500, 1000, 2000, 4000, 8000};
using OctaveBands = std::array<double, octave_centres_hz.size()>;

struct StereoSound {
  std::vector<float> left, right;
};

/// The energy of each octave band in dB relative to all that lies above 20 Hz, of both channels added: windows of
/// 16384 frames (Hann), half overlapping. @param sound at least one window long
inline OctaveBands octave_bands(const StereoSound& sound, double sample_rate_hz) {
  constexpr std::size_t window = 16384;
  std::vector<double> power(window / 2, 0.0);
  std::vector<std::complex<double>> values(window);
  for (std::size_t at = 0; at + window <= sound.left.size(); at += window / 2) {
    for (std::size_t i = 0; i < window; ++i) {
      const double hann = 0.5 - 0.5 * std::cos(2 * M_PI * (static_cast<double>(i) + 0.5) / window);
      values[i] = hann * static_cast<double>(sound.left[at + i] + sound.right[at + i]);
    }
    transform(values);
    for (std::size_t i = 0; i < power.size(); ++i) power[i] += std::norm(values[i]);
  }
  const double bin_hz = sample_rate_hz / window;
  double total = 1e-20;
  OctaveBands bands{};
  for (std::size_t i = 0; i < power.size(); ++i) {
    const double hz = static_cast<double>(i) * bin_hz;
    if (hz > 20) total += power[i];
    for (std::size_t b = 0; b < bands.size(); ++b) {
      if (hz >= octave_centres_hz[b] / M_SQRT2 && hz < octave_centres_hz[b] * M_SQRT2) bands[b] += power[i];
    }
  }
  for (double& band : bands) band = 10 * std::log10(band / total + 1e-12);
  return bands;
}

/// All of a source, from its start until nothing sounds any more.
inline StereoSound whole_sound(SoundSource& source) {
  constexpr std::size_t step = 8192;
  StereoSound sound;
  for (std::size_t at = 0; static_cast<std::int64_t>(at) < source.length_frames() || !source.finished(); at += step) {
    sound.left.resize(at + step);
    sound.right.resize(at + step);
    source.render({sound.left.data() + at, sound.right.data() + at, step});
  }
  return sound;
}

/// Integrated loudness (ITU-R BS.1770-4).
inline double loudness_lufs(StereoSound& sound, double sample_rate_hz) {
  Loudness loudness(sample_rate_hz);
  loudness.add({sound.left.data(), sound.right.data(), sound.left.size()});
  return loudness.integrated_lufs();
}

/// Integrated loudness of one part of a performance alone, with its effects and reverb, before
/// mastering. @param part index into its parts
inline double part_loudness_lufs(Performance performance, std::size_t part, double sample_rate_hz) {
  for (std::size_t i = 0; i < performance.parts.size(); ++i) performance.parts[i].muted = i != part;
  Performer performer(performance, sample_rate_hz);
  StereoSound sound = whole_sound(performer);
  return loudness_lufs(sound, sample_rate_hz);
}

}  // namespace romanesca::test
