#include "theory/voicing/guide_tones.h"

#include <algorithm>
#include <cstdlib>

#include "theory/voicing/viterbi_path.h"

namespace romanesca {

std::vector<PitchClass> guide_tones(const Chord& chord) {
  std::vector<PitchClass> result;
  for (const PitchClass tone : chord.tones()) {
    const int number = (tone - chord.root).number();
    const bool stands_for_third = !chord.type.has_third() && (number == 2 || number == 4);
    if (number == 3 || number == 7 || stands_for_third) result.push_back(tone);
  }
  if (result.empty()) result.push_back(chord.tones().back());
  return result;
}

std::vector<Pitch> guide_tone_line(std::span<const Chord> chords, std::size_t first, HandRange range) {
  std::vector<std::vector<Pitch>> stops;
  for (const Chord& chord : chords) {
    std::vector<PitchClass> tones = guide_tones(chord);
    const std::size_t begun_on = first % tones.size();
    if (stops.empty()) tones = {tones[begun_on]};
    std::vector<Pitch> places;
    for (const PitchClass tone : tones) {
      for (Pitch pitch = lowest_at_or_above(tone, range.lowest); pitch.midi() <= range.highest;
           pitch = pitch + intervals::octave) {
        places.push_back(pitch);
      }
    }
    stops.push_back(std::move(places));
  }
  const int middle = (range.lowest + range.highest) / 2;
  constexpr int movement_first = 64;  // the middle of the range only decides between ways that move equally far
  const auto picks = viterbi_path(
      stops, [&](const Pitch& pitch) { return std::abs(pitch.midi() - middle); },
      [&](std::size_t, const Pitch& from, const Pitch& to) {
        return movement_first * std::abs(to.midi() - from.midi());
      });
  std::vector<Pitch> line;
  for (std::size_t i = 0; i < stops.size(); ++i) line.push_back(stops[i][picks[i]]);
  return line;
}

}  // namespace romanesca
