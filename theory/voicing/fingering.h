#pragma once

#include <optional>
#include <span>
#include <vector>

#include "theory/voicing/voicing.h"

namespace romanesca {

enum class Hand { right, left };

/// Fingers for the notes of a chord from low to high, thumb 1 to little finger 5.
using Fingers = std::vector<int>;

/// The usual fingers of a shape: right hand 1 3 5, first inversion 1 2 5, four notes 1 2 3 5; left hand 5 3 1, second
/// inversion 5 2 1, four notes 5 3 2 1 (common practice, no source). A single note takes the thumb in the right hand,
/// the little finger in the left; two notes the outer fingers. More than five notes have no fingering: an empty list.
[[nodiscard]] Fingers usual_fingers(const Voicing& voicing, Hand hand);

/// How hard it is for a hand to have these fingers on these notes; nothing where it cannot: finger pairs have the
/// practical, comfortable and relaxed spans of Parncutt, Sloboda, Clarke, Raekallio & Desain, "An Ergonomic Model of
/// Keyboard Fingering for Melodic Fragments", Music Perception 14/4, 1997 (values from memory).
/// @return 0 for a relaxed hand; about 1 for each semitone outside the relaxed span, 2 beyond the comfortable one.
[[nodiscard]] std::optional<int> strain(const Voicing& voicing, const Fingers& fingers, Hand hand);

/// Whether there are fingers for these notes at all.
[[nodiscard]] bool can_be_played(const Voicing& voicing, Hand hand);

/// Fingers for a row of chords, found exactly (dynamic programming): possible ones only, the usual ones unless others
/// are easier, and the same finger on a key that stays. An empty voicing (silence) has none and keeps nothing.
/// @return one list for each voicing; empty where no fingering is possible.
[[nodiscard]] std::vector<Fingers> fingers_for(std::span<const Voicing> voicings, Hand hand);

}  // namespace romanesca
