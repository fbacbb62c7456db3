#pragma once

#include "theory/songs/progression.h"

namespace romanesca {

/// The interval that carries one tonic to the other, upwards by less than an octave.
[[nodiscard]] inline Interval interval_between(PitchClass from, PitchClass to) noexcept { return to - from; }

/// The chord moved by an interval, spelled by it. Only where a root or bass would need more than two accidentals is it
/// written as its neighbour that sounds the same.
[[nodiscard]] Chord transposed(const Chord& chord, Interval by);

/// Absolute chords moved by the interval, and the written key with them; numerals and numbers stay as they are.
[[nodiscard]] Progression transposed(const Progression& progression, Interval by);

/// Numerals and numbers written out as chords of the key, which becomes the written key.
[[nodiscard]] Progression realised(const Progression& progression, const Key& key);

}  // namespace romanesca
