#include "synth/hearing/onset_strength.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>

#include "synth/hearing/fourier.h"

namespace romanesca {
namespace {

constexpr std::size_t rise_block = 1024;  // 46 ms
constexpr std::size_t rise_bands = 40;
constexpr std::size_t low_bands = 12;  // up to 210 Hz
constexpr std::array<std::size_t, OnsetStrength::groups + 1> group_edges{0, 5, 10, 16, 24, 32, rise_bands};
constexpr double rise_compression = 2000;  // re the loudest band

std::array<std::size_t, rise_bands + 1> band_edges() {
  constexpr double line_hz = hearing_rate_hz / static_cast<double>(rise_block);
  std::array<std::size_t, rise_bands + 1> edges{};
  for (std::size_t i = 0; i < edges.size(); ++i) {
    const double hz = 40 * std::pow(250.0, static_cast<double>(i) / rise_bands);
    edges[i] = static_cast<std::size_t>(std::lround(hz / line_hz));
  }
  return edges;
}

/// A short bell, then minus the mean of a second and a half, halved to what is above it, over its deviation.
void normalise(std::vector<float>& rises) {
  const std::size_t count = rises.size();
  if (count == 0) return;
  const auto clamped = [&](std::ptrdiff_t i) {
    return static_cast<std::size_t>(std::clamp<std::ptrdiff_t>(i, 0, static_cast<std::ptrdiff_t>(count) - 1));
  };
  constexpr std::array<float, 7> bell{0.0044f, 0.054f, 0.242f, 0.3989f, 0.242f, 0.054f, 0.0044f};
  std::vector<float> smooth(count);
  for (std::size_t i = 0; i < count; ++i) {
    for (std::size_t k = 0; k < bell.size(); ++k)
      smooth[i] += bell[k] * rises[clamped(static_cast<std::ptrdiff_t>(i + k) - 3)];
  }
  constexpr auto reach = static_cast<std::ptrdiff_t>(0.75 * OnsetStrength::frames_per_second);
  double sum = 0;
  for (std::ptrdiff_t i = -reach; i <= reach; ++i) sum += static_cast<double>(smooth[clamped(i)]);
  double squares = 0;
  double total = 0;
  for (std::size_t i = 0; i < count; ++i) {
    rises[i] = std::max(0.0f, smooth[i] - static_cast<float>(sum / (2 * reach + 1)));
    total += static_cast<double>(rises[i]);
    squares += static_cast<double>(rises[i]) * static_cast<double>(rises[i]);
    const auto here = static_cast<std::ptrdiff_t>(i);
    sum += static_cast<double>(smooth[clamped(here + reach + 1)]) - static_cast<double>(smooth[clamped(here - reach)]);
  }
  const double mean = total / static_cast<double>(count);
  const double deviation = std::sqrt(std::max(0.0, squares / static_cast<double>(count) - mean * mean));
  for (float& rise : rises) rise = static_cast<float>(static_cast<double>(rise) / (deviation + 1e-9));
}

/// Divides each group by its root mean square over the recording.
void even_out(std::vector<std::array<float, OnsetStrength::groups>>& rises) {
  std::array<double, OnsetStrength::groups> squares{};
  for (const auto& row : rises) {
    for (std::size_t i = 0; i < row.size(); ++i)
      squares[i] += static_cast<double>(row[i]) * static_cast<double>(row[i]) / static_cast<double>(rises.size());
  }
  for (auto& row : rises) {
    for (std::size_t i = 0; i < row.size(); ++i) row[i] /= static_cast<float>(std::sqrt(squares[i]) + 1e-6);
  }
}

}  // namespace

OnsetStrength onset_strength(std::span<const float> sound) {
  AmplitudeSpectrum spectrum(rise_block);
  const auto edges = band_edges();
  const std::size_t frames = sound.size() / OnsetStrength::hop;
  std::vector<std::array<float, rise_bands>> energies(frames);
  std::vector<float> block(rise_block), lines(rise_block / 2 + 1);
  float loudest = 1e-9f;
  for (std::size_t frame = 0; frame < frames; ++frame) {
    const auto first =
        static_cast<std::ptrdiff_t>(frame * OnsetStrength::hop) - static_cast<std::ptrdiff_t>(rise_block / 2);
    for (std::size_t i = 0; i < rise_block; ++i) {
      const std::ptrdiff_t at = first + static_cast<std::ptrdiff_t>(i);
      block[i] = at >= 0 && at < static_cast<std::ptrdiff_t>(sound.size()) ? sound[static_cast<std::size_t>(at)] : 0;
    }
    spectrum.compute(block, lines);
    for (std::size_t band = 0; band < rise_bands; ++band) {
      const std::size_t end = std::max(edges[band] + 1, edges[band + 1]);
      float sum = 0;
      for (std::size_t line = edges[band]; line < end; ++line) sum += lines[line];
      energies[frame][band] = sum / static_cast<float>(end - edges[band]);
      loudest = std::max(loudest, energies[frame][band]);
    }
  }
  const auto scale = static_cast<float>(rise_compression / static_cast<double>(loudest));
  for (auto& frame : energies) {
    for (float& energy : frame) energy = std::log1p(energy * scale);
  }
  OnsetStrength strength{std::vector<float>(frames), std::vector<float>(frames)};
  strength.by_group.resize(frames);
  for (std::size_t frame = 1; frame < frames; ++frame) {
    std::size_t group = 0;
    for (std::size_t band = 0; band < rise_bands; ++band) {
      const float rise = std::max(0.0f, energies[frame][band] - energies[frame - 1][band]);
      strength.all[frame] += rise / static_cast<float>(rise_bands);
      if (band < low_bands) strength.low[frame] += rise / static_cast<float>(low_bands);
      if (band == group_edges[group + 1]) ++group;
      strength.by_group[frame][group] += rise;
    }
  }
  even_out(strength.by_group);
  std::vector<float> highest = strength.all;
  const std::size_t counted = frames / 50;
  std::partial_sort(highest.begin(), highest.begin() + static_cast<std::ptrdiff_t>(counted), highest.end(),
                    std::greater<>());
  for (std::size_t i = 0; i < counted; ++i)
    strength.mean_rise += static_cast<double>(highest[i]) / static_cast<double>(counted);
  normalise(strength.all);
  normalise(strength.low);
  return strength;
}

}  // namespace romanesca
