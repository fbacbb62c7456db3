#pragma once

#include <cstdint>
#include <functional>
#include <string>
#include <vector>

#include "synth/hearing/onset_detector.h"
#include "tests/measure/note_bank.h"

namespace romanesca::test {

/// A scene whose beginnings of notes are known.
struct OnsetScene {
  std::vector<float> sound;       ///< at hearing_rate_hz
  std::vector<double> onsets_s;   ///< what is to be found
  std::vector<double> unclear_s;  ///< glides from one note to the next: neither to be found nor to be left out
};

/// Fits the network of an OnsetDetector to scenes 0 to count - 1, which @p scene makes from their numbers, on two
/// threads; prints how it goes to standard error. @param check prints how well a network does, on a line
/// @return Perceptron::to_text
std::string fit_onset_network(std::uint64_t count, const std::function<OnsetScene(std::uint64_t)>& scene,
                              const std::function<void(const Perceptron&)>& check);

}  // namespace romanesca::test
