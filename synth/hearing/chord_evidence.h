#pragma once

#include <array>
#include <span>
#include <string>

#include "synth/hearing/chord_class.h"
#include "synth/hearing/chord_features.h"
#include "theory/text/embedded_text.h"

namespace romanesca {

/// chord_weights.txt, which tests/fitting/chord_weights.cpp writes.
[[nodiscard]] std::span<const EmbeddedText> chord_weight_texts();

/// Natural logarithms of how probable each chord class is, from one look alone.
using ChordEvidence = std::array<float, chord_classes>;

/// Logarithms of how probable it is that each pitch class, C first, sounds lowest.
using BassEvidence = std::array<float, 12>;

/// The pitch class that sounds lowest, 0 (C) to 11, if the chord is right: its root unless another tone of it is
/// clearly more probable. @param chord below no_chord_class
[[nodiscard]] int likely_bass(const BassEvidence& evidence, std::size_t chord) noexcept;

/// Templates of chords: how much each pitch class in each register, counted upwards from the root, speaks for a quality
/// (multinomial logistic regression). The twelve roots share them, so that transposition is built in.
struct ChordWeights {
  static constexpr std::size_t inputs = 12 * RegisterChroma::registers + 1;  ///< by register; the last is constant
  using Row = std::array<float, inputs>;
  std::array<Row, chord_qualities> qualities{};
  /// For no chord: of the sum of each register, and a constant.
  std::array<float, RegisterChroma::registers + 1> none{};
  Row bass{};  ///< for a pitch class being the lowest

  [[nodiscard]] static ChordWeights from_text(std::string_view text);
  [[nodiscard]] std::string to_text() const;
};

/// What the rows of weights are multiplied by: the pitch classes counted upwards from a root.
[[nodiscard]] ChordWeights::Row chord_inputs(const RegisterChroma& chroma, int root) noexcept;

/// Finds chords and basses in what sounds.
class ChordClassifier {
 public:
  /// With the weights of the project.
  ChordClassifier();
  explicit ChordClassifier(const ChordWeights& weights) : weights_(weights) {}

  [[nodiscard]] ChordEvidence chords(const RegisterChroma& chroma) const noexcept;
  /// How much speaks for each pitch class being the lowest, as logarithms that differ from those of probabilities by
  /// one amount.
  [[nodiscard]] BassEvidence bass(const RegisterChroma& chroma) const noexcept;

 private:
  ChordWeights weights_;
};

}  // namespace romanesca
