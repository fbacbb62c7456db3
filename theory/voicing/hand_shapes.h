#pragma once

#include <span>
#include <vector>

#include "theory/chords/chord.h"
#include "theory/chords/key.h"
#include "theory/voicing/voicing.h"

namespace romanesca {

/// What both hands play for one chord where a shape is laid out over both of them.
struct HandShape {
  Voicing left;   ///< low to high
  Voicing right;  ///< empty for a rootless shape
};

/// Third and seventh of shells, rootless and two-hand shapes lie in this range: lower they sound muddy, higher thin
/// (E3 to E5; the usual limits for left-hand voicings in jazz teaching, from memory).
inline constexpr HandRange guide_tone_range{52, 76};

/// All ways to lay a chord out in an open, rootless or two-hand shape; never empty. Where a hand cannot stretch so far,
/// a close position over the bass.
///
/// Rootless: rootless_tones in close position with the third lowest (3-5-7-9, called A) or the seventh (7-9-3-5, B).
/// Two-hand: 1-7 below 3-5 or 3-5-9, or 1-3 below 7-5 or 7-9-5, with thirteenth, eleventh or altered fifth for the
/// fifth as in a rootless shape, and no ninth that the chord does not name; a triad in close position above 1-5 (common
/// practice of jazz teaching, no source). Over a bass other than the root the left hand plays it alone.
/// Open: drop 2 or drop 3 with the chord's bass lowest, 1-5-7-3 or 1-7-3-5, of a triad 1-5-3; of larger chords with
/// the tone that names them for the fifth.
/// @param kind open, rootless or two_hand @param key where the chord stands, for the ninth of rootless shapes
/// @param span widest stretch of a hand in semitones
[[nodiscard]] std::vector<HandShape> hand_shapes(const Chord& chord, VoicingKind kind, const Key& key, int span);

/// Shapes for a row of chords: the upper voices move as little as possible, found exactly.
/// @param keys one for each chord @param loops the last chord leads back to the first
[[nodiscard]] std::vector<HandShape> lead_shapes(std::span<const Chord> chords, VoicingKind kind,
                                                 std::span<const Key> keys, int span, bool loops);

/// The voices whose movement counts: all but the bass of the left hand, in a rootless shape the left hand's.
[[nodiscard]] Voicing upper_voices(const HandShape& shape);

}  // namespace romanesca
