#pragma once

#include <vector>

#include "theory/chord.h"
#include "theory/pitch.h"

namespace romanesca {

/// A hand's notes from low to high, spelled as in the chord.
using Voicing = std::vector<Pitch>;

/// Where a hand plays: MIDI numbers its notes lie between, ends included.
struct HandRange {
  int lowest = 55;   ///< G3
  int highest = 79;  ///< G5
};
inline constexpr HandRange right_hand{55, 79};
inline constexpr HandRange left_hand{40, 52};  ///< E2 to E3: a bass note clear of the right hand
/// The widest stretch of a right-hand chord, in semitones: an octave.
inline constexpr int right_hand_span = 12;

/// The tones the right hand plays while the left has the bass: three of a triad, four of a seventh chord; of larger
/// chords four, leaving out the fifth first, then the root, then inner extensions (common practice, no source). An
/// eleventh over a major third drives the third out. From the root up.
[[nodiscard]] std::vector<PitchClass> right_hand_tones(const Chord& chord);

/// All close positions of these tones within the range, lowest first: every inversion in every octave that fits. For a
/// range of two octaves there is always one.
[[nodiscard]] std::vector<Voicing> close_positions(const std::vector<PitchClass>& tones, HandRange range = right_hand);

/// The bass note of the chord, within the left hand's range.
[[nodiscard]] Pitch bass_note(const Chord& chord, HandRange range = left_hand);

/// Which of the chord's tones is lowest in the voicing: 0 root position, 1 third, 2 fifth, 3 seventh; -1 for another
/// tone.
[[nodiscard]] int inversion_of(const Voicing& voicing, const Chord& chord);

}  // namespace romanesca
