#pragma once

#include <array>
#include <vector>

#include "synth/hearing/chord_evidence.h"
#include "synth/hearing/chord_features.h"

namespace romanesca {

class ChordNetwork;

/// What speaks for each chord, all through a recording: short looks, summed up over time, so that stretches of any
/// length can be compared; and longer looks at single beats.
class ChordLooks {
 public:
  /// Looks at everything. @param frames must outlive this @param network null for templates alone
  ChordLooks(const PitchFrames& frames, const ChordNetwork* network);

  /// The integral of the short looks over the time from one to the other, in nats times seconds.
  [[nodiscard]] ChordEvidence sum_between(double from_s, double to_s) const;
  /// At one beat, as logarithms.
  [[nodiscard]] ChordEvidence chord_at(double from_s, double to_s) const;
  [[nodiscard]] BassEvidence bass_at(double from_s, double to_s) const;

 private:
  /// By place on the grid of looks: the sum of all before.
  template <std::size_t count>
  using Sums = std::vector<std::array<double, count>>;

  const PitchFrames& frames_;
  ChordClassifier classifier_;
  Sums<chord_classes> short_looks_;
  Sums<chord_classes> network_chords_;  // empty without one
  Sums<12> network_bass_;
};

}  // namespace romanesca
