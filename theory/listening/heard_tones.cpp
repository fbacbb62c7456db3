#include "theory/listening/heard_tones.h"

#include "theory/chords/chord_naming.h"

namespace romanesca {

SoundMatch match_sound(const std::array<float, 12>& probability, const Chord& chord, const Key& key) {
  const unsigned bass = 1U << static_cast<unsigned>(chord.bass.semitone());
  const ToneAnswer answer = answer_to(probability, {chord.sounding_tones(), chord.root.semitone(), bass});
  SoundMatch match{answer.kind, answer.whole, {}, {}};
  for (const PitchClass tone : chord.tones()) {
    if ((answer.missing >> static_cast<unsigned>(tone.semitone()) & 1U) != 0) match.missing.push_back(tone);
  }
  for (int semitone = 0; semitone < 12; ++semitone) {
    if ((answer.foreign >> static_cast<unsigned>(semitone) & 1U) != 0)
      match.foreign.push_back(spelled_in(semitone, key));
  }
  return match;
}

}  // namespace romanesca
