#pragma once

#include <vector>

#include "theory/analysis/remarks.h"

namespace romanesca {

/// What to say about single chords, each chord in each key once: what borrowed, applied and chromatic chords do,
/// spellings that belong to another key, and chords that look mistyped. Each sentence is checked against the chords
/// that it speaks of.
[[nodiscard]] std::vector<Remark> remarks_on_chords(const Analysis& analysis);

}  // namespace romanesca
