#pragma once

#include <vector>

#include "theory/harmony/harmony_path.h"
#include "theory/harmony/tune_repeats.h"

namespace romanesca {

/// As harmony_path, but what the tune sings again has the same chords again, as listeners and players expect (common
/// practice, no source). Of the chords that the places would have alone those are taken for all that cost least
/// together. Only in the last bar of a phrase another chord may stand, where a cadence is worth it.
[[nodiscard]] HarmonyPath repeated_path(const std::vector<TuneSpan>& spans, const std::vector<TuneRepeat>& repeats,
                                        const std::vector<PaletteChord>& palette, const Key& key,
                                        PathDemands demands = {});

}  // namespace romanesca
