#pragma once

#include <vector>

#include "theory/analysis/analysis.h"

namespace romanesca {

/// What to say about lines that run through several chords: a bass that walks by step, a bass that stays while the
/// chords change (pedal point), roots that fall by fifths (sequence). The longest of each.
[[nodiscard]] std::vector<Remark> remarks_on_lines(const Analysis& analysis);

}  // namespace romanesca
