#include "theory/voicing/reading_spelling.h"

namespace romanesca {
namespace {

constexpr int enharmonic = 12;  // places on the line of fifths between two names of one key
constexpr PitchClass c_flat(-7);
constexpr PitchClass f_flat(-8);

PitchClass easier_name(PitchClass name, const Chord& chord, const Key& key) {
  if (name == chord.root || name == chord.bass) return name;
  const bool double_flat = name.alteration() <= -2;
  const bool white_flat = chord.type.has(intervals::diminished_seventh) && (name == c_flat || name == f_flat);
  return double_flat || (white_flat && !key.contains(name)) ? PitchClass(name.fifths() + enharmonic) : name;
}

}  // namespace

Voicing spelled_for_reading(Voicing voicing, const Chord& chord, const Key& key) {
  for (Pitch& note : voicing) {
    const PitchClass name = easier_name(note.name(), chord, key);
    if (name != note.name()) note = lowest_at_or_above(name, note.midi());
  }
  return voicing;
}

}  // namespace romanesca
