#pragma once

#include "theory/chords/key.h"
#include "theory/songs/progression.h"
#include "theory/tunes/tune.h"

namespace romanesca {

/// The song's tune as it is written down. As tune_of, but: a song that begins with an upbeat ends with a bar that is
/// shorter by it, where nothing sounds or changes in that time (common practice; Gould, "Behind Bars", the chapter on
/// metre; from memory). Where a repeat goes back to the song's beginning, the bar that it closes is short too, and
/// the repeat begins before the upbeat, which stands on paper once.
[[nodiscard]] Tune tune_on_paper(const Progression& progression, const Key& key);

}  // namespace romanesca
