#pragma once

#include "theory/chords/chord.h"
#include "theory/chords/key.h"
#include "theory/voicing/voicing.h"

namespace romanesca {

/// The same keys, spelled as players write them for the hand (common practice, no source): a double flat as the white
/// or black key that it is, and in a diminished seventh chord Cb and Fb as B and E, unless the key has them. Abdim7 is
/// Ab B D F instead of Ab Cb Ebb Gbb. The chord's root and bass keep their names.
[[nodiscard]] Voicing spelled_for_reading(Voicing voicing, const Chord& chord, const Key& key);

}  // namespace romanesca
