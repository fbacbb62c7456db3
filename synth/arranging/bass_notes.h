#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "synth/arranging/strokes.h"

namespace romanesca {

/// The range of the bass's roots: E1, the lowest string of a bass, to D#2. Its lines go up to E flat 3.
inline constexpr HandRange bass_roots{28, 39};

/// The highest note of its lines, E flat 3.
inline constexpr int highest_bass_note = 51;

/// The note of every stroke, as MIDI numbers: R the chord's bass, 3 5 6 7 8 above it, v the fifth below, A a step
/// towards the next chord's bass, = the note before once more. Strokes with a W among them walk, see walking_bass.h.
/// @param seed varies walking lines.
[[nodiscard]] std::vector<int> bass_notes(std::span<const Stroke> strokes, const Score& score, std::uint32_t seed);

}  // namespace romanesca
