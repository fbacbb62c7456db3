#include "theory/chords/chord_scale.h"

#include <algorithm>

namespace romanesca {

ChordScale chord_scale(const Chord& chord, const Key& key) {
  ChordScale scale;
  const auto tones = chord.tones();
  scale.tones.assign(tones.begin(), tones.end());
  const auto root = key.scale();
  // From the chord's root up through the seven letters.
  for (int step = 1; step < 7; ++step) {
    const int letter = (chord.root.letter() + step) % 7;
    const auto in_key =
        std::find_if(root.begin(), root.end(), [&](PitchClass note) { return note.letter() == letter; });
    const bool taken = std::any_of(tones.begin(), tones.end(), [&](PitchClass tone) {
      return tone.letter() == letter || tone.sounds_like(*in_key);
    });
    if (taken) continue;
    const bool rubs = std::any_of(tones.begin(), tones.end(), [&](PitchClass tone) {
      return (in_key->semitone() - tone.semitone() + 12) % 12 == 1;
    });
    (rubs ? scale.tense : scale.passing).push_back(*in_key);
  }
  return scale;
}

}  // namespace romanesca
