#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "synth/hearing/chord_evidence.h"
#include "synth/hearing/chord_successions.h"

namespace romanesca {

/// What was measured from one beat to the next.
struct BeatEvidence {
  ChordEvidence chords{};  ///< logarithms, already weighted by the length of the beat
  float bar_line = 0;      ///< logarithm of how much more probable a bar begins here than elsewhere
};

/// A beat as the decoder understood it.
struct DecodedBeat {
  std::size_t chord = no_chord_class;
  int place = 0;    ///< pulse in its bar, from 0
  int tonic = 0;    ///< of the key, 0 (C) to 11
  double sure = 0;  ///< probability of the chord's root and third, 0 to 1
};

/// Finds bar lines, chords and keys together. The state is the pulse in the bar, the chord and the tonic; chords change
/// by how usual that is on the pulse (change_chances) and by ChordSuccessions. A pulse may be doubled or left out at a
/// cost, and a bar may begin early: a player hesitates, and beats are sometimes found wrong.
class BarDecoder {
 public:
  /// @param pulses in a bar, 2 to 5
  BarDecoder(const ChordSuccessions& successions, int pulses);

  /// The logarithm of the best reading without keys: to compare meters and beats. @param first_line the beat on which a
  /// bar begins, where it is known
  [[nodiscard]] double score(std::span<const BeatEvidence> beats, std::optional<std::size_t> first_line) const;

  /// The best reading with keys (Viterbi), and how sure each beat is (forward and backward).
  [[nodiscard]] std::vector<DecodedBeat> decode(std::span<const BeatEvidence> beats,
                                                std::optional<std::size_t> first_line) const;

 private:
  void add_certainty(std::span<const BeatEvidence> beats, std::vector<DecodedBeat>& decoded) const;

  const ChordSuccessions& successions_;
  std::size_t pulses_;
  std::vector<float> change_, stay_;  ///< logarithms by pulse
};

}  // namespace romanesca
