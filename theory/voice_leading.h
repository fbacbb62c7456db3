#pragma once

#include <optional>
#include <span>
#include <vector>

#include "theory/voicing.h"

namespace romanesca {

/// Semitones that all voices move together between two chords, lowest first, no voice crossing another. Where one has
/// more notes a voice may split in two or two may meet: the smallest voice leading in the sense of Tymoczko, "The
/// Geometry of Musical Chords", Science 313, 2006 (supporting text), but between notes in their octaves.
[[nodiscard]] int movement(const Voicing& from, const Voicing& to);

/// Right-hand voicings of a progression with the least movement in all, found exactly (dynamic programming over all
/// close positions of every chord). Of equal ones the one that stays nearer to the middle of the hand's range.
struct VoiceLeading {
  std::vector<Voicing> right;  ///< one per chord
  int semitones = 0;           ///< sum of the movements
};
[[nodiscard]] VoiceLeading lead_voices(std::span<const Chord> chords, HandRange range = right_hand);

}  // namespace romanesca
