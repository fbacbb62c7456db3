#pragma once

#include <span>
#include <vector>

#include "theory/chords/chord.h"

namespace romanesca {

/// The chords as a pianist plays them who leaves out the root, where third and fifth alone would be thin: a major triad
/// gets the ninth, a minor one the ninth or else the minor seventh (common practice in jazz, no source). Only a note of
/// the music around: more of the sixteen chords around have it than have the same letter a semitone lower (ninth) or
/// higher (seventh). A triad for which there is none stays as it is, and so do all other chords.
[[nodiscard]] std::vector<Chord> with_colour_tones(std::span<const Chord> chords);

}  // namespace romanesca
