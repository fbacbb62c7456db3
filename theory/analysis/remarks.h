#pragma once

#include <vector>

#include "theory/analysis/analysis.h"

namespace romanesca {

/// A second reading of the key is mentioned from this confidence on.
inline constexpr double least_confidence_to_mention = 0.15;
/// The relative key already from this one, where the music begins or ends on its tonic.
inline constexpr double least_confidence_of_relative = 0.03;

/// What to say to the student, in the order of the music, what holds for the whole piece first: a second reading of the
/// key, changes of key, lines that run through several chords, cadences that close, what borrowed and applied chords
/// add, spellings that belong to another key, and chords that no reading explains, with what may have been meant.
/// Nothing is called wrong for breaking a rule; a slip is a question.
/// @param terms what cadences are called
[[nodiscard]] std::vector<Remark> remarks_on(const Analysis& analysis, CadenceTerms terms = CadenceTerms::british);

}  // namespace romanesca
