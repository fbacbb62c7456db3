#pragma once

#include <span>
#include <vector>

#include "theory/voicing/voicing.h"

namespace romanesca {

/// Semitones that all voices move together between two chords, lowest first, no voice crossing another. Where one has
/// more notes a voice may split in two or two may meet: the smallest voice leading in the sense of Tymoczko, "The
/// Geometry of Musical Chords", Science 313, 2006 (supporting text), but between notes in their octaves.
[[nodiscard]] int movement(const Voicing& from, const Voicing& to);
/// The sum of the movements from each voicing to the next. @param loops and from the last to the first
[[nodiscard]] int total_movement(std::span<const Voicing> voicings, bool loops);

/// The costs of a path through the voicings; the path with the smallest sum is taken. Movement outweighs the rest,
/// which decides between paths that move equally far.
struct VoiceLeadingCost {
  int semitone = 4096;     ///< for each semitone that a voice moves
  int top_leap = 16;       ///< for each semitone that the top voice leaps beyond a major third
  int wide_span = 4;       ///< for each semitone of a hand's stretch beyond a seventh
  int off_the_middle = 1;  ///< for each semitone between the chord's centre and the middle of the range
};
inline constexpr VoiceLeadingCost voice_leading_cost;

/// What a voicing costs by itself, and the change from one to the next.
[[nodiscard]] int cost_of(const Voicing& voicing, const VoicingRules& rules);
[[nodiscard]] int cost_between(const Voicing& from, const Voicing& to);

/// Right-hand voicings of a progression at the smallest cost, found exactly (dynamic programming over all voicings of
/// every chord).
struct VoiceLeading {
  std::vector<Voicing> right;  ///< one per chord
  int semitones = 0;           ///< sum of the movements, for a loop with that from the last chord to the first
};
/// @param loops the last chord leads back to the first.
[[nodiscard]] VoiceLeading lead_voices(std::span<const Chord> chords, const VoicingRules& rules = {},
                                       bool loops = false);

}  // namespace romanesca
