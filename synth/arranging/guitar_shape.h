#pragma once

#include <vector>

#include "theory/voicing/voicing.h"

namespace romanesca {

/// The chord as six strings in standard tuning (E2 A2 D3 G3 B3 E4) sound it near the nut: on each string the lowest
/// chord tone within four frets, strings below the bass note silent. From low to high, two to six notes.
[[nodiscard]] Voicing guitar_shape(const Chord& chord);

}  // namespace romanesca
