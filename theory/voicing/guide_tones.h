#pragma once

#include <span>
#include <vector>

#include "theory/chords/chord.h"
#include "theory/voicing/voicing.h"

namespace romanesca {

/// One note for each chord that tells most about it, its third or seventh (what stands for the third in a suspension),
/// each as near as can be to the one before (jazz teaching calls them guide tones; common practice, no source). Found
/// exactly, by the smallest sum of movements.
/// @param first which of these tones the line begins with: 0 the lowest in the chord; taken modulo how many there are
/// @param range MIDI numbers the line stays within; at least an octave
[[nodiscard]] std::vector<Pitch> guide_tone_line(std::span<const Chord> chords, std::size_t first = 0,
                                                 HandRange range = {60, 76});

/// The third and seventh of a chord, or what stands for them; never empty.
[[nodiscard]] std::vector<PitchClass> guide_tones(const Chord& chord);

}  // namespace romanesca
