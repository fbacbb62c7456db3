#pragma once

#include <array>
#include <span>
#include <vector>

#include "synth/hearing/chord_class.h"
#include "theory/text/embedded_text.h"

namespace romanesca {

/// chord_successions.txt, which tests/fitting/chord_successions.cpp writes.
[[nodiscard]] std::span<const EmbeddedText> chord_succession_texts();

/// What chords are usual and what they go on with, counted in songs. All natural logarithms.
class ChordSuccessions {
 public:
  using Row = std::array<float, chord_classes>;
  /// Those of chord_successions.txt.
  ChordSuccessions();

  /// How usual the chord is in the key on that tonic (0 is C), major or minor alike.
  [[nodiscard]] float usual(int tonic, std::size_t chord) const noexcept { return usual_[moved_class(chord, -tonic)]; }
  /// That the first goes on with the second one, another.
  [[nodiscard]] float next(int tonic, std::size_t from, std::size_t to) const noexcept {
    return next_[moved_class(from, -tonic)][moved_class(to, -tonic)];
  }
  /// The same where the key is not known.
  [[nodiscard]] float next_in_any_key(std::size_t from, std::size_t to) const noexcept { return any_[from][to]; }

 private:
  Row usual_{};                            ///< on the tonic C
  std::array<Row, chord_classes> next_{};  ///< likewise
  std::array<Row, chord_classes> any_{};
};

/// How probable it is that the chord changes on each pulse of a bar. @param pulses 2 to 5 @return as many, each more
/// than 0 and less than 1
[[nodiscard]] std::vector<double> change_chances(int pulses);

}  // namespace romanesca
