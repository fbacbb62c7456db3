#pragma once

#include <cstdint>

#include "theory/voicing/four_part_chord.h"

namespace romanesca {

/// The rules broken from one voicing to the next, as bits: pairs in the order of voice_pairs, voices from the bass up.
struct LeadingFaults {
  std::uint8_t parallel_fifths = 0;
  std::uint8_t parallel_octaves = 0;
  std::uint8_t leading_tones = 0;  ///< voices
  std::uint8_t sevenths = 0;       ///< voices
};
/// @param tendency that of the first chord.
[[nodiscard]] LeadingFaults faults_between(const PartVoicing& from, const PartVoicing& to, const Tendency& tendency);

/// rule_cost for each of these faults, and what leaps, overlaps, similar motion of the outer voices, hidden fifths and
/// octaves, augmented steps and a falling leading tone add. Never negative.
[[nodiscard]] std::int64_t leading_cost(const PartVoicing& from, const PartVoicing& to, const Tendency& tendency);

}  // namespace romanesca
