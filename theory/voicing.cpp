#include "theory/voicing.h"

#include <algorithm>

namespace romanesca {

std::vector<PitchClass> right_hand_tones(const Chord& chord) {
  using namespace intervals;
  std::vector<Interval> tones = chord.type.tones();
  const auto drop = [&](Interval tone) {
    const auto found =
        std::find_if(tones.begin(), tones.end(), [&](Interval each) { return each.fifths() == tone.fifths(); });
    if (found != tones.end()) tones.erase(found);
  };
  const bool eleventh = chord.type.has(perfect_fourth) && chord.type.has(major_third) && chord.type.has_seventh();
  if (eleventh) drop(major_third);
  if (tones.size() > 4) drop(perfect_fifth);
  if (tones.size() > 4) drop(unison);
  while (tones.size() > 4) tones.erase(tones.begin() + 2);
  std::vector<PitchClass> names;
  names.reserve(tones.size());
  for (const Interval tone : tones) names.push_back(chord.root + tone);
  return names;
}

std::vector<Voicing> close_positions(const std::vector<PitchClass>& tones, HandRange range) {
  // Ninths and thirteenths fall between the others: a close position takes the tones in order of pitch.
  std::vector<PitchClass> ring = tones;
  if (ring.empty()) return {};
  const int from = ring.front().semitone();
  std::stable_sort(ring.begin(), ring.end(), [&](PitchClass a, PitchClass b) {
    return (a.semitone() - from + 12) % 12 < (b.semitone() - from + 12) % 12;
  });
  std::vector<Voicing> positions;
  for (std::size_t turn = 0; turn < ring.size(); ++turn) {
    Voicing voicing{lowest_at_or_above(ring[turn], range.lowest)};
    for (std::size_t i = 1; i < ring.size(); ++i) {
      voicing.push_back(lowest_at_or_above(ring[(turn + i) % ring.size()], voicing.back().midi() + 1));
    }
    while (voicing.back().midi() <= range.highest) {
      positions.push_back(voicing);
      for (Pitch& note : voicing) note = note + intervals::octave;
    }
  }
  std::stable_sort(positions.begin(), positions.end(),
                   [](const Voicing& a, const Voicing& b) { return a.front().midi() < b.front().midi(); });
  return positions;
}

Pitch bass_note(const Chord& chord, HandRange range) { return lowest_at_or_above(chord.bass, range.lowest); }

int inversion_of(const Voicing& voicing, const Chord& chord) {
  const std::vector<PitchClass> tones = chord.tones();
  for (std::size_t i = 0; i < tones.size(); ++i) {
    if (tones[i] == voicing.front().name()) return static_cast<int>(i);
  }
  return -1;
}

}  // namespace romanesca
