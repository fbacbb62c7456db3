#pragma once

#include <vector>

#include "theory/chords/key.h"
#include "theory/notes/meter_map.h"
#include "theory/tunes/tune.h"

namespace romanesca {

/// How well a key fits a tune.
struct TuneKeyGuess {
  Key key;
  double confidence = 0;  ///< 0 to 1; all of them sum to 1
};

/// The 24 major and minor keys, the likeliest first, from the notes of a tune: how long each degree sounds against the
/// profile of melodies (Temperley, "Music and Probability", 2007, chapter 4; the figures from memory), and what the
/// plainest chords in that key would cost. The key is spelled with the fewest accidentals.
/// @param tune its spelling is ignored
[[nodiscard]] std::vector<TuneKeyGuess> find_tune_key(const Tune& tune, const MeterMap& meters);

}  // namespace romanesca
