#pragma once

#include <span>
#include <vector>

#include "theory/chords/chord.h"
#include "theory/voicing/voicing.h"

namespace romanesca {

/// One note for each chord that defines its quality, its third or seventh (in a suspension the tone that replaces the
/// third), each as near as possible to the one before (jazz teaching calls them guide tones; common practice, no
/// source). Found exactly, by the smallest sum of movements.
/// @param first which of these tones the line begins with: 0 the lowest in the chord; taken modulo how many there are
/// @param range MIDI numbers the line stays within; at least an octave
[[nodiscard]] std::vector<Pitch> guide_tone_line(std::span<const Chord> chords, std::size_t first = 0,
                                                 HandRange range = {60, 76});

/// The third and seventh of a chord, or the tones that replace them; never empty.
[[nodiscard]] std::vector<PitchClass> guide_tones(const Chord& chord);

}  // namespace romanesca
