#pragma once

#include <array>
#include <cstddef>
#include <span>
#include <vector>

#include "synth/hearing/onset_strength.h"
#include "synth/hearing/perceptron.h"

namespace romanesca {

/// beat_network_weights.txt, which tests/fitting/beat_network_weights.cpp writes.
[[nodiscard]] std::span<const EmbeddedText> beat_network_texts();

/// Tells beats and bar lines of a band by what begins before, at and after a moment: the low and high drums say where
/// they are. One perceptron looks at each fiftieth of a second, at two seconds to each side, more coarsely farther
/// away.
class BeatNetwork {
 public:
  /// How many frames of onsets each step outwards takes together, to each side.
  static constexpr std::array<std::size_t, 24> step_frames{1, 1, 1, 1, 1, 2, 2, 2, 2, 2, 4, 4,
                                                           4, 4, 4, 4, 8, 8, 8, 8, 8, 8, 8, 8};
  static constexpr std::size_t inputs = (2 * step_frames.size() + 1) * OnsetStrength::groups;
  static constexpr std::size_t outputs = 2;  ///< logits of a beat and of a bar line

  /// What the perceptron sees at a frame of the onsets. @param seen `inputs` values
  static void gather(const OnsetStrength& onsets, std::size_t frame, std::span<float> seen) noexcept;

  /// With the weights of the project.
  BeatNetwork();
  explicit BeatNetwork(Perceptron network) : network_(std::move(network)) {}

  /// Probabilities at each frame of the onsets, 0 to 1.
  struct Beats {
    std::vector<float> beat, line;
  };
  [[nodiscard]] Beats beats(const OnsetStrength& onsets) const;

 private:
  Perceptron network_;
};

}  // namespace romanesca
