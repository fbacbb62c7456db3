#pragma once

#include "theory/analysis/analysis.h"
#include "theory/songs/progression.h"

namespace romanesca {

/// The same chords over a bass that walks: inversions are chosen so that the bass goes by step or stays wherever it
/// can, found exactly (dynamic programming over the root, third, fifth and seventh of every chord). Chords with a bass
/// of their own keep it; the first and last chords and a tonic after a dominant stay on their root. The fifth in
/// the bass is taken only between steps (common practice for passing and pedal six-fours; from memory of harmony
/// textbooks).
/// @param progression absolute chords @param analysis of them
[[nodiscard]] Progression with_stepwise_bass(const Progression& progression, const Analysis& analysis);

}  // namespace romanesca
