#pragma once

#include <vector>

#include "theory/voicing.h"

namespace romanesca {

enum class Hand { right, left };

/// Fingers for the notes of a chord from low to high, thumb 1 to little finger 5. Triads and sevenths have their usual
/// fingers: right hand 1 3 5, first inversion 1 2 5, four notes 1 2 3 5; left hand 5 3 1, second inversion 5 2 1, four
/// notes 5 3 2 1 (common practice, no source). A single note takes the thumb in the right hand, the little finger in
/// the left; two notes the outer fingers. More than five notes have no fingering: an empty list.
[[nodiscard]] std::vector<int> fingers_for(const Voicing& voicing, Hand hand);

}  // namespace romanesca
