#include "theory/hands.h"

#include "theory/voice_leading.h"

namespace romanesca {

Hands hands_for(const Timeline& timeline) {
  std::vector<Chord> sounding;
  for (const TimedChord& timed : timeline.chords) {
    if (timed.chord) sounding.push_back(*timed.chord);
  }
  VoiceLeading led = lead_voices(sounding);
  Hands hands;
  hands.semitones = led.semitones;
  std::size_t next = 0;
  for (const TimedChord& timed : timeline.chords) {
    HandsChord chord;
    if (timed.chord) {
      chord.right = std::move(led.right[next++]);
      chord.left = {bass_note(*timed.chord)};
      chord.right_fingers = fingers_for(chord.right, Hand::right);
      chord.left_fingers = fingers_for(chord.left, Hand::left);
      chord.inversion = inversion_of(chord.right, *timed.chord);
    }
    hands.chords.push_back(std::move(chord));
  }
  return hands;
}

}  // namespace romanesca
