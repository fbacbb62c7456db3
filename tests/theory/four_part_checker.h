#pragma once

#include <set>
#include <utility>
#include <vector>

#include "theory/voicing/four_part.h"

namespace romanesca {

/// A broken rule and the index of its chord, for a rule between two chords that of the second.
using BrokenRules = std::set<std::pair<PartRule, std::size_t>>;

/// Reads written four-part music and finds the broken rules, by MIDI numbers and letters alone. It knows triads and
/// seventh chords in all positions, and shares no code with what it checks.
[[nodiscard]] BrokenRules check_four_parts(const std::vector<Chord>& chords, const Key& key,
                                           const std::vector<FourPartVoicing>& written);

}  // namespace romanesca
