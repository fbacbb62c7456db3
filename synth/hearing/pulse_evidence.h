#pragma once

#include <vector>

#include "synth/hearing/beat_network.h"
#include "synth/hearing/onset_strength.h"

namespace romanesca {

/// What speaks for beats and bar lines in a recording: onsets alone, or what a network makes of them.
class PulseEvidence {
 public:
  /// @param onsets must outlive this @param network null for onsets alone
  PulseEvidence(const OnsetStrength& onsets, const BeatNetwork* network);

  [[nodiscard]] bool by_network() const noexcept { return network_; }
  /// Where beats are to be looked for.
  [[nodiscard]] const OnsetStrength& tracked() const noexcept { return network_ ? heard_ : onsets_; }
  /// What speaks for beats, in nats. @param length_s of the recording
  [[nodiscard]] double for_beats(const std::vector<double>& beats_s, double length_s) const;
  /// What speaks for a bar line at each beat rather than elsewhere, in nats.
  [[nodiscard]] std::vector<float> for_lines(const std::vector<double>& beats_s) const;

 private:
  const OnsetStrength& onsets_;
  bool network_;
  BeatNetwork::Beats probabilities_;  // empty without a network
  OnsetStrength heard_;               // the same in place of onsets
};

}  // namespace romanesca
