#pragma once

#include <array>
#include <span>
#include <string_view>
#include <vector>

#include "theory/voicing/voicing.h"

namespace romanesca {

/// What the left hand plays under a chord.
enum class LeftHand {
  root,    ///< the bass note alone
  fifth,   ///< the bass note and the chord's tone nearest to a fifth above it
  octave,  ///< the bass note twice
  broken,  ///< bass, fifth and octave one after another
};
inline constexpr std::array all_left_hands{LeftHand::root, LeftHand::fifth, LeftHand::octave, LeftHand::broken};
[[nodiscard]] std::string_view to_string(LeftHand left);

/// The left hand's notes for each chord, low to high, under right hands that are already chosen: the bass note of every
/// chord, in the octave that moves least from chord to chord and stays near the middle of the hand's range, and over it
/// what fits between it and the right hand and within the span. Thirds and seconds are not played below C3, fifths not
/// below E2: low thirds sound muddy (common practice, no source).
/// @param right low to high, one for each chord @param patterns likewise
[[nodiscard]] std::vector<Voicing> left_hands(std::span<const Chord> chords, std::span<const Voicing> right,
                                              std::span<const LeftHand> patterns, int span);

}  // namespace romanesca
