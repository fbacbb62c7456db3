#include "progressions/harmony_level.h"

#include <algorithm>

namespace romanesca {

HarmonyLimits harmony_limits(const Level& level) {
  constexpr int colours_from = 5, jazz_from = 7;
  HarmonyLimits limits;
  limits.types = level.chords;
  limits.all_types = level.all_chords;
  limits.applied = level.number >= colours_from && level.foreign >= ForeignChords::applied;
  limits.borrowed = level.number >= colours_from && level.foreign >= ForeignChords::borrowed;
  limits.jazz = level.number >= jazz_from && level.foreign == ForeignChords::any;
  limits.most_per_bar = std::max(1, level.chords_per_bar);
  return limits;
}

}  // namespace romanesca
