#pragma once

#include <array>
#include <cstddef>
#include <span>

#include "synth/hearing/chord_evidence.h"
#include "synth/hearing/chord_features.h"
#include "synth/hearing/perceptron.h"

namespace romanesca {

/// chord_network_weights.txt, which tests/fitting/chord_network_weights.cpp writes.
[[nodiscard]] std::span<const EmbeddedText> chord_network_texts();

/// What the network hears at one moment.
struct NetworkLook {
  ChordEvidence chords{};
  BassEvidence bass{};  ///< if a chord sounds
};

/// Finds chords in the sound of a whole band. One perceptron looks upwards from each of the twelve roots, so what it
/// knows of one it knows of all: at the moment in thirds of a semitone, and at what sounds around it in semitones.
class ChordNetwork {
 public:
  static constexpr std::size_t octaves = 7;
  static constexpr std::size_t moment_inputs = 12 * octaves * bins_per_semitone, around_inputs = 12 * octaves;
  static constexpr std::size_t inputs = moment_inputs + around_inputs;
  static constexpr std::size_t bass_output = chord_qualities, none_output = chord_qualities + 1;
  static constexpr std::size_t outputs = chord_qualities + 2;
  using Outputs = std::array<std::array<float, outputs>, 12>;  ///< of each root

  /// How far a moment and what is around it reach to each side.
  static constexpr double moment_s = 0.14, around_s = 0.75;

  /// What is seen at a moment, whatever the root.
  struct Moment {
    std::array<float, pitch_bins> now{};
    std::array<float, pitch_bins / bins_per_semitone> around{};
  };
  [[nodiscard]] static Moment moment_at(const PitchFrames& frames, double at_s);
  /// What the perceptron sees of it from a root, 0 (C) to 11. @param seen `inputs` values; 0 where nothing is heard
  static void gather(const Moment& moment, int root, std::span<float> seen) noexcept;
  /// What the outputs mean: softmax over all chords, of which "no chord" is the mean of its outputs; and over all bass
  /// tones.
  [[nodiscard]] static NetworkLook look_of(const Outputs& answers) noexcept;

  /// With the weights of the project.
  ChordNetwork();
  explicit ChordNetwork(Perceptron network) : network_(std::move(network)) {}
  [[nodiscard]] NetworkLook look(const Moment& moment) const noexcept;

 private:
  Perceptron network_;
};

}  // namespace romanesca
