#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "tests/measure/chord_overlap.h"
#include "theory/chords/key.h"
#include "theory/notes/meter.h"

namespace romanesca::test {

/// What is true of a recording that a program made.
struct PieceTruth {
  Meter meter;
  double tempo_bpm = 80;        ///< pulses a minute
  std::string manner;           ///< how it is played, in a word or two
  std::vector<double> beats_s;  ///< each pulse, and the end of the last
  std::vector<ChordSpan> chords;

  /// Where bars begin.
  [[nodiscard]] std::vector<double> lines_s() const {
    std::vector<double> lines;
    for (std::size_t i = 0; i + 1 < beats_s.size(); i += static_cast<std::size_t>(meter.pulses()))
      lines.push_back(beats_s[i]);
    return lines;
  }
  /// As it is when the sound is read faster by that factor.
  void quicken(double ratio) {
    for (double& beat : beats_s) beat /= ratio;
    for (ChordSpan& span : chords) {
      span.start_s /= ratio;
      span.end_s /= ratio;
    }
    tempo_bpm *= ratio;
  }
};

}  // namespace romanesca::test
