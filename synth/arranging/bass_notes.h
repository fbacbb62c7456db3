#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "synth/arranging/strokes.h"

namespace romanesca {

/// The range of the bass's roots: E1, the lowest string of a bass, to D#2. Its lines go up to E flat 3.
inline constexpr HandRange bass_roots{28, 39};

/// The note of every stroke, as MIDI numbers: R the chord's bass, 3 5 6 7 8 above it, v the fifth below, A a step
/// towards the next chord's bass. W walks: the notes of a run of W together lead from the one before to the one after
/// at the least cost: steps before leaps, chord tones before others of the chord's scale, no note twice, and a semitone
/// or tone before the next root (common practice for walking bass, no source). @param seed varies walking lines.
[[nodiscard]] std::vector<int> bass_notes(std::span<const Stroke> strokes, const Score& score, std::uint32_t seed);

}  // namespace romanesca
