#pragma once

#include "progressions/level.h"
#include "theory/harmony/chord_palette.h"

namespace romanesca {

/// Which chords a student of a level may be given for a tune: the level's chord forms and chords a bar. Applied and
/// borrowed chords come from level 5, where the student knows their sevenths; jazz from level 7. Within one key a level
/// below that has them only where a song brings them.
[[nodiscard]] HarmonyLimits harmony_limits(const Level& level);

}  // namespace romanesca
