#pragma once

#include <fmt/format.h>

#include <cmath>
#include <string>
#include <vector>

#include "synth/hearing/onset_detector.h"

namespace romanesca::test {

/// The onsets that the detector finds in a sound at hearing_rate_hz, in seconds.
inline std::vector<double> onsets_of(const Perceptron& network, const std::vector<float>& sound) {
  OnsetDetector detector(network);
  std::vector<double> found;
  const auto take = [&](float sample) {
    if (const auto at = detector.push(sample)) found.push_back(*at / hearing_rate_hz);
  };
  for (const float sample : sound) take(sample);
  for (int i = 0; i < 3000; ++i) take(0);
  return found;
}

/// How many beginnings of notes were found: a pair lies within 20 ms and counts once.
struct OnsetScore {
  static constexpr double window_s = 0.02;
  int found = 0, missed = 0, invented = 0;
  double distance_s = 0;

  void add(const std::vector<double>& heard, const std::vector<double>& true_ones) {
    std::vector<bool> used(heard.size());
    for (const double onset : true_ones) {
      std::size_t best = heard.size();
      for (std::size_t i = 0; i < heard.size(); ++i) {
        if (!used[i] && std::abs(heard[i] - onset) <= window_s &&
            (best == heard.size() || std::abs(heard[i] - onset) < std::abs(heard[best] - onset)))
          best = i;
      }
      if (best == heard.size()) {
        ++missed;
        continue;
      }
      used[best] = true;
      ++found;
      distance_s += std::abs(heard[best] - onset);
    }
    for (const bool one : used) invented += one ? 0 : 1;
  }
  [[nodiscard]] double f_measure() const { return found == 0 ? 0 : 2.0 * found / (2.0 * found + missed + invented); }
  [[nodiscard]] std::string text() const {
    return fmt::format("onsets: F {:.3f} within 20 ms ({} found, {} missed, {} invented; {:.1f} ms off in the mean)",
                       f_measure(), found, missed, invented, 1000 * distance_s / std::max(found, 1));
  }
};

}  // namespace romanesca::test
