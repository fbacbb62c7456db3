#pragma once

#include <vector>

#include "progressions/level.h"

namespace romanesca {

/// The triads of a key that a level can play, for a student to choose from: at first the three main ones, later all but
/// the diminished. In minor the dominant has its leading note.
[[nodiscard]] std::vector<Chord> playable_triads(const Key& key, const Level& level);

}  // namespace romanesca
