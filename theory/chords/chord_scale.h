#pragma once

#include <vector>

#include "theory/chords/chord.h"
#include "theory/chords/key.h"

namespace romanesca {

/// The seven notes of a key seen from one chord, for someone who makes up a melody over it.
struct ChordScale {
  std::vector<PitchClass> tones;    ///< the chord's own, from the root up: stable on every beat
  std::vector<PitchClass> passing;  ///< safe between them, rising from the root
  std::vector<PitchClass> tense;    ///< a semitone above a tone of the chord: dissonant, to be resolved at once
};

/// The chord's tones, and for the letters that it does not use the notes of the key: over G7 in C minor the scale has B
/// and not Bb. A note a semitone above a chord tone is heard as a minor ninth and counts as tense (jazz teaching
/// calls it an avoid note: Levine, "The Jazz Theory Book", 1995; from memory).
[[nodiscard]] ChordScale chord_scale(const Chord& chord, const Key& key);

}  // namespace romanesca
