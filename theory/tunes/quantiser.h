#pragma once

#include <optional>
#include <span>
#include <vector>

#include "theory/notes/meter.h"

namespace romanesca {

/// A note as it was played against a known beat.
struct TakeNote {
  double start = 0;  ///< quarter notes of the beat from the beginning of bar 1, 0 or more
  double end = 0;    ///< later than the start
  int midi = 60;
};

/// Its place on paper.
struct QuantisedNote {
  Beats start;   ///< quarter notes from the beginning of bar 1
  Beats length;  ///< more than 0; no later than the start of the next note
  friend bool operator==(const QuantisedNote&, const QuantisedNote&) = default;
};

/// A reading of what was played.
struct RhythmReading {
  std::vector<QuantisedNote> notes;  ///< as many as were played, in their order
  bool swung = false;                ///< off-beat eighths were played late, and are written as plain eighths
  /// How unlikely the reading is: the negative logarithm of its probability under the model, less is better. What is
  /// simple to read costs little, and so does what is near to what was played.
  double cost = 0;
  double spread_s = 0;  ///< standard deviation of the notes about the beat, drift apart
};

struct QuantisedTake {
  RhythmReading best;
  std::optional<RhythmReading> second;  ///< where it is nearly as likely
};

/// Writes down what was played. The onsets are placed together, by a search along the notes (a beam) over
/// the positions of a grid of 1/24 quarter: eighths, sixteenths and triplets cost little, finer ones more, and duple
/// and triple parts do not mix in a beat. How far the player is before or behind the beat is followed by a Kalman
/// filter in each hypothesis. A note lasts until the next one unless it was let go much earlier than the player's other
/// notes. (Method: Cemgil, Desain and Kappen, "Rhythm quantization for transcription", Computer Music Journal 24, 2000;
/// the costs are set by hand and stand in quantiser.cpp.)
/// Takes time in proportion to the number of notes.
/// @param notes one after the other, in order of their starts
/// @param seconds_per_quarter of the beat, more than 0
[[nodiscard]] QuantisedTake quantise(std::span<const TakeNote> notes, Meter meter, double seconds_per_quarter);

}  // namespace romanesca
