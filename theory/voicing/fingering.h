#pragma once

#include <optional>
#include <span>
#include <vector>

#include "theory/voicing/voicing.h"

namespace romanesca {

enum class Hand { right, left };

/// Fingers for the notes of a chord from low to high, thumb 1 to little finger 5.
using Fingers = std::vector<int>;

/// The fingers of a shape: one table for both hands, read from the thumb's side, so that the left hand is the mirror of
/// the right. Nothing but the shape decides, and the same shape always has the same fingers:
///
///   notes  shape from the thumb                        fingers  example
///   1      the right hand's thumb, the left's little finger
///   2      second 1 2, third 1 3, fourth 1 4, wider 1 5
///   3      third and third                             1 3 5    root position; left 5 3 1
///          third, wider gap                            1 2 5    right hand, first inversion; left 5 2 1, second
///          wider gap, third                            1 3 5    right hand, second inversion; left 5 3 1, first
///          second, wider gap                           1 2 5    Csus2
///          fourth or more, second                      1 4 5    B F G for G7; Csus4
///   4      as a seventh chord in thirds                1 2 3 5
///          the gap above the second note wider than the next one  1 2 4 5  first inversion of a seventh chord
///   5      all
///
/// A shape narrower than a tritone ends on the finger before the fifth. Source: common practice of method books and
/// examination boards for triads and seventh chords, from memory; the rest by analogy, no source. Steps are counted by
/// sound: three or four semitones are a third however they are spelled. More than five notes have no fingers: an empty
/// list.
[[nodiscard]] Fingers usual_fingers(const Voicing& voicing, Hand hand);

/// How hard it is for a hand to have these fingers on these notes; nothing where it cannot: finger pairs have the
/// practical, comfortable and relaxed spans of Parncutt, Sloboda, Clarke, Raekallio & Desain, "An Ergonomic Model of
/// Keyboard Fingering for Melodic Fragments", Music Perception 14/4, 1997 (values from memory).
/// @return 0 for a relaxed hand; about 1 for each semitone outside the relaxed span, 2 beyond the comfortable one.
[[nodiscard]] std::optional<int> strain(const Voicing& voicing, const Fingers& fingers, Hand hand);

/// Whether there are fingers for these notes at all.
[[nodiscard]] bool can_be_played(const Voicing& voicing, Hand hand);

/// usual_fingers, or those with the least strain where a hand cannot have the usual ones; empty where it has none.
[[nodiscard]] Fingers fingers_of(const Voicing& voicing, Hand hand);

/// fingers_of each.
[[nodiscard]] std::vector<Fingers> fingers_for(std::span<const Voicing> voicings, Hand hand);

}  // namespace romanesca
