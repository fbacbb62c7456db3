#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "synth/arranging/strokes.h"

namespace romanesca {

/// Replaces the notes of the signs R and W by a walking line, and keeps the others. Found exactly for 64 strokes or
/// more at a time, as the line of least cost after what bass methods teach (Friedland, "Building Walking Bass Lines",
/// 1993; Reid, "The Evolving Bassist", 1974; both from memory): the chord's bass where the chord begins; chord tones on
/// strong beats; arpeggios and scale steps between; a note of the scale is reached and left by step; before a change a
/// semitone, a tone or a fifth from the next bass, from either side; a leap turns back; the line keeps its direction
/// over about two bars within an octave and a half, and does not go to and fro between two notes.
/// @param seed varies the line @param notes of the strokes, MIDI numbers
void walk(std::span<const Stroke> strokes, const Score& score, std::uint32_t seed, std::vector<int>& notes);

}  // namespace romanesca
