#include "theory/chords/chord_match.h"

#include <algorithm>

#include "theory/chords/chord_naming.h"

namespace romanesca {

ChordMatch match_chord(std::span<const int> midi, const Chord& chord, const Key& key) {
  ChordMatch match;
  unsigned played = 0;
  for (const int note : midi) played |= 1U << static_cast<unsigned>((note % 12 + 12) % 12);
  unsigned allowed = 1U << static_cast<unsigned>(chord.bass.semitone());
  const std::vector<PitchClass> tones = chord.tones();
  for (const PitchClass tone : tones) {
    const unsigned bit = 1U << static_cast<unsigned>(tone.semitone());
    allowed |= bit;
    const bool perfect_fifth = tone == chord.root + intervals::perfect_fifth;
    if ((played & bit) == 0 && !(tones.size() >= 4 && perfect_fifth)) match.missing.push_back(tone);
  }
  for (int semitone = 0; semitone < 12; ++semitone) {
    if (((played & ~allowed) >> semitone & 1U) != 0) match.foreign.push_back(spelled_in(semitone, key));
  }
  if (!midi.empty()) {
    const int lowest = *std::min_element(midi.begin(), midi.end());
    match.bass_fits = (lowest % 12 + 12) % 12 == chord.bass.semitone();
  }
  return match;
}

}  // namespace romanesca
