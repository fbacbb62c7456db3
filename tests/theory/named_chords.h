#pragma once

#include "theory/chords/chord.h"
#include "theory/chords/key.h"

namespace romanesca::test {

inline const Key c_major{PitchClass(0), Mode::major};

/// The chord of a symbol that can be read.
inline Chord chord(const char* symbol) { return *parse_chord(symbol); }

}  // namespace romanesca::test
