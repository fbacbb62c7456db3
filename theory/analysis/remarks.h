#pragma once

#include <vector>

#include "theory/analysis/analysis.h"

namespace romanesca {

/// What to say to the student, in the order of the music, what holds for the whole piece first: cadences that close, a
/// bass that walks by step, what borrowed and applied chords add, spellings that belong to another key, and chords that
/// no reading explains, with what may have been meant. Nothing is called wrong for breaking a rule; a slip is a
/// question.
[[nodiscard]] std::vector<Remark> remarks_on(const Analysis& analysis);

}  // namespace romanesca
