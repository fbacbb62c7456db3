#include "theory/songs/transposition.h"

#include <cstdlib>

namespace romanesca {
namespace {

PitchClass readable(PitchClass name) {
  while (name.alteration() > 2) name = PitchClass(name.fifths() - 12);
  while (name.alteration() < -2) name = PitchClass(name.fifths() + 12);
  return name;
}

}  // namespace

Chord transposed(const Chord& chord, Interval by) {
  return {readable(chord.root + by), chord.type, readable(chord.bass + by)};
}

Progression transposed(const Progression& progression, Interval by) {
  Progression moved = with_chords(progression, [&](auto content) {
    if (Chord* chord = std::get_if<Chord>(&content)) *chord = transposed(*chord, by);
    return content;
  });
  if (moved.key && moved.notation == Notation::absolute) moved.key->tonic = moved.key->tonic + by;
  return moved;
}

Progression realised(const Progression& progression, const Key& key) {
  Progression result = with_chords(progression, [&](auto content) {
    if (const Numeral* numeral = std::get_if<Numeral>(&content)) content = realise(*numeral, key);
    return content;
  });
  result.notation = Notation::absolute;
  result.key = KeyText{key.tonic, key.mode};
  return result;
}

}  // namespace romanesca
