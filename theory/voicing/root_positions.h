#pragma once

#include <span>
#include <vector>

#include "theory/voicing/voicing.h"

namespace romanesca {

/// A right hand for beginners: every chord has one place in the whole song, near middle C. All roots lie within one
/// octave from a note between G3 and C4, of these the one with which the hand moves least in the song; of equal ones
/// the one that keeps the hand nearest to middle C.
///
/// Triads and other chords of three tones are in root position. A seventh or sixth chord has three notes, as method
/// books have V7 (common practice, no source): third, seventh and root on top (B F G for G7); without a perfect fifth
/// third, fifth and seventh; a larger chord third, seventh and the tone that names it. Where the hand stretches less
/// than a shape needs, tones are left out (order_of_omission).
/// @param span widest stretch in semitones, 5 to 16 @return one voicing for each chord; equal chords have equal ones
[[nodiscard]] std::vector<Voicing> root_positions(std::span<const Chord> chords, int span);

}  // namespace romanesca
