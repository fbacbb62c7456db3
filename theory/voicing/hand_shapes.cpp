#include "theory/voicing/hand_shapes.h"

#include <algorithm>
#include <cstdlib>
#include <map>
#include <tuple>

#include "theory/voicing/fingering.h"
#include "theory/voicing/shared_path.h"
#include "theory/voicing/voice_leading.h"

namespace romanesca {
namespace {

using namespace intervals;

constexpr HandRange bass_range{36, 55};      ///< C2 to G3: bass notes of shapes for two hands
constexpr HandRange rootless_range{50, 72};  ///< D3 to C5
constexpr int highest_note = 79;             ///< G5
constexpr int lowest_low_third = 48;         ///< C3: no thirds and seconds from lower notes, they sound muddy
constexpr int lowest_low_fifth = 40;         ///< E2: no fifths and sixths likewise

/// Costs beside the movement of the upper voices (VoiceLeadingCost::semitone a semitone).
constexpr int bass_semitone = 256;  ///< for each semitone that the bass leaps
constexpr int off_centre = 32;      ///< for each semitone between a hand's centre and where it lies best
constexpr int best_bass = 46;       ///< Bb2
constexpr int best_centre = 60;     ///< middle C, of a rootless shape
constexpr int best_right = 65;      ///< F4, of the right hand

/// The tones one above the other, each as low as it can be.
Voicing stacked(const std::vector<PitchClass>& tones, Pitch lowest) {
  Voicing voicing{lowest};
  for (std::size_t i = 1; i < tones.size(); ++i) {
    voicing.push_back(lowest_at_or_above(tones[i], voicing.back().midi() + 1));
  }
  return voicing;
}

/// Within the span, with fingers, and no semitone at the bottom.
bool fits_hand(const Voicing& voicing, Hand hand, int span) {
  const bool semitone_lowest = voicing.size() > 2 && voicing[1].midi() - voicing[0].midi() == 1;
  return !semitone_lowest && voicing.back().midi() - voicing.front().midi() <= span && can_be_played(voicing, hand);
}

/// Low intervals are wide ones.
bool sounds_clear(const Voicing& left) {
  if (left.size() < 2) return true;
  const int interval = left[1].midi() - left[0].midi();
  if (interval < 3) return false;
  const int lowest = interval < 5 ? lowest_low_third : interval < 10 ? lowest_low_fifth : 0;
  return left.front().midi() >= lowest;
}

bool guides_in_range(const Chord& chord, const Voicing& voicing) {
  const auto third = third_of(chord);
  const auto seventh = seventh_of(chord);
  return std::all_of(voicing.begin(), voicing.end(), [&](const Pitch& note) {
    const bool guide =
        (third && note.name() == chord.root + *third) || (seventh && note.name() == chord.root + *seventh);
    return !guide || (note.midi() >= guide_tone_range.lowest && note.midi() <= guide_tone_range.highest);
  });
}

/// The right hand's position over the chord's bass alone, in the octave nearest to best_bass.
HandShape over_bass(const Chord& chord, Voicing right) {
  Pitch bass = lowest_at_or_above(chord.bass, best_bass - 5);
  while (bass.midi() >= right.front().midi()) bass = bass - octave;
  return {{bass}, std::move(right)};
}

std::vector<HandShape> close_over_bass(const Chord& chord, int span) {
  VoicingRules rules;
  rules.span = span;
  std::vector<HandShape> shapes;
  for (Voicing& right : voicings(chord, rules)) shapes.push_back(over_bass(chord, std::move(right)));
  return shapes;
}

std::vector<HandShape> rootless_shapes(const Chord& chord, const Key& key, int span) {
  const std::vector<PitchClass> tones = rootless_tones(chord, key);
  const auto third = third_of(chord);
  const auto seventh = seventh_of(chord);
  const bool jazz = third && seventh;
  std::vector<HandShape> shapes;
  for (Voicing& voicing : close_positions(tones, rootless_range)) {
    const PitchClass lowest = voicing.front().name();
    if (jazz && lowest != chord.root + *third && lowest != chord.root + *seventh) continue;
    if (!fits_hand(voicing, Hand::left, span) || !guides_in_range(chord, voicing)) continue;
    shapes.push_back({std::move(voicing), {}});
  }
  if (!shapes.empty()) return shapes;
  // A narrow hand: whatever it can hold of the chord's tones.
  VoicingRules rules;
  rules.kind = jazz ? VoicingKind::rootless : VoicingKind::close;
  rules.range = {48, 72};
  rules.span = span;
  for (Voicing& voicing : voicings(chord, rules)) {
    if (can_be_played(voicing, Hand::left)) shapes.push_back({std::move(voicing), {}});
  }
  return shapes;
}

/// The right hand of a two-hand shape: which tones lie over 1-7 and over 1-3, from low to high.
struct RightTones {
  std::vector<PitchClass> over_seventh, over_third;
};

RightTones right_tones(const Chord& chord, PitchClass third, PitchClass seventh) {
  RightTones right{{third}, {seventh}};
  std::vector<PitchClass> fifths;
  std::vector<PitchClass> ninths;
  for (const PitchClass tone : right_hand_tones(chord)) {
    if (tone == third || tone == seventh || tone == chord.root) continue;
    const Interval above = tone - chord.root;
    (above.letters() == 1 ? ninths : fifths).push_back(tone);
  }
  right.over_seventh.insert(right.over_seventh.end(), fifths.begin(), fifths.end());
  right.over_seventh.insert(right.over_seventh.end(), ninths.begin(), ninths.end());
  right.over_third.insert(right.over_third.end(), ninths.begin(), ninths.end());
  right.over_third.insert(right.over_third.end(), fifths.begin(), fifths.end());
  return right;
}

void add_two_hand(std::vector<HandShape>& shapes, const Chord& chord, PitchClass in_left,
                  const std::vector<PitchClass>& right, int span) {
  for (Pitch root = lowest_at_or_above(chord.root, bass_range.lowest); root.midi() <= bass_range.highest + 5;
       root = root + octave) {
    HandShape shape{stacked({chord.root, in_left}, root), {}};
    shape.right = stacked(right, lowest_at_or_above(right.front(), shape.left.back().midi() + 1));
    const bool fits = fits_hand(shape.left, Hand::left, span) && fits_hand(shape.right, Hand::right, span) &&
                      shape.right.back().midi() <= highest_note;
    if (!fits || !sounds_clear(shape.left)) continue;
    if (!guides_in_range(chord, shape.left) || !guides_in_range(chord, shape.right)) continue;
    shapes.push_back(std::move(shape));
  }
}

/// Close triads over root and fifth.
std::vector<HandShape> triads_over_fifths(const Chord& chord, int span) {
  std::vector<HandShape> shapes = close_over_bass(chord, span);
  for (HandShape& shape : shapes) {
    for (const PitchClass tone : chord.tones()) {
      if ((tone - chord.root).number() != 5) continue;
      Voicing left = stacked({chord.root, tone}, shape.left.front());
      if (sounds_clear(left) && left.back().midi() < shape.right.front().midi() && fits_hand(left, Hand::left, span))
        shape.left = std::move(left);
    }
  }
  return shapes;
}

std::vector<HandShape> two_hand_shapes(const Chord& chord, int span) {
  if (!chord.bass.sounds_like(chord.root)) return close_over_bass(chord, span);
  const auto third = third_of(chord);
  const auto seventh = seventh_of(chord);
  if (!third || !seventh) return triads_over_fifths(chord, span);
  const RightTones right = right_tones(chord, chord.root + *third, chord.root + *seventh);
  std::vector<HandShape> shapes;
  add_two_hand(shapes, chord, chord.root + *seventh, right.over_seventh, span);
  add_two_hand(shapes, chord, chord.root + *third, right.over_third, span);
  return shapes.empty() ? close_over_bass(chord, span) : shapes;
}

/// The left hand takes the lower two of four notes where it can, else the lowest.
HandShape split(const Voicing& notes, int span) {
  const bool two = notes.size() >= 4 && notes[1].midi() - notes[0].midi() <= span;
  const auto middle = notes.begin() + (two ? 2 : 1);
  return {{notes.begin(), middle}, {middle, notes.end()}};
}

bool has_semitone(const Voicing& notes) {
  for (std::size_t i = 1; i < notes.size(); ++i) {
    if (notes[i].midi() - notes[i - 1].midi() == 1) return true;
  }
  return false;
}

/// Drop 2 and drop 3 with the chord's bass lowest: of the tones 1 3 5 7 from the bass up 1 5 7 3 and 1 7 3 5.
std::vector<HandShape> open_shapes(const Chord& chord, int span) {
  std::vector<PitchClass> ring = right_hand_tones(chord, VoicingKind::root_position);
  const int from = chord.bass.semitone();
  std::sort(ring.begin(), ring.end(), [&](PitchClass a, PitchClass b) {
    return (a.semitone() - from + 12) % 12 < (b.semitone() - from + 12) % 12;
  });
  if (ring.size() < 3 || !ring.front().sounds_like(chord.bass)) return close_over_bass(chord, span);
  std::vector<std::vector<PitchClass>> orders{{ring[0], ring[2], ring[1]}};
  if (ring.size() >= 4) orders = {{ring[0], ring[2], ring[3], ring[1]}, {ring[0], ring[3], ring[1], ring[2]}};
  std::vector<HandShape> shapes;
  std::vector<HandShape> with_semitones;
  for (const std::vector<PitchClass>& order : orders) {
    for (Pitch bass = lowest_at_or_above(order.front(), bass_range.lowest); bass.midi() <= bass_range.highest;
         bass = bass + octave) {
      const Voicing notes = stacked(order, bass);
      HandShape shape = split(notes, span);
      const bool fits = fits_hand(shape.left, Hand::left, span) && fits_hand(shape.right, Hand::right, span) &&
                        notes.back().midi() <= highest_note;
      if (!fits || !sounds_clear(shape.left)) continue;
      (has_semitone(notes) ? with_semitones : shapes).push_back(std::move(shape));
    }
  }
  if (shapes.empty()) shapes = std::move(with_semitones);
  return shapes.empty() ? close_over_bass(chord, span) : shapes;
}

int off(const Voicing& hand, int centre) {
  if (hand.empty()) return 0;
  return std::abs(hand.front().midi() + hand.back().midi() - 2 * centre) / 2;
}

int own_cost(const HandShape& shape) {
  if (shape.right.empty()) return off_centre * off(shape.left, best_centre);
  return off_centre * (off(shape.right, best_right) + std::abs(shape.left.front().midi() - best_bass));
}

int link_cost(const HandShape& from, const HandShape& to) {
  const int bass = from.right.empty() ? 0 : std::abs(to.left.front().midi() - from.left.front().midi());
  return voice_leading_cost.semitone * movement(upper_voices(from), upper_voices(to)) + bass_semitone * bass;
}

}  // namespace

Voicing upper_voices(const HandShape& shape) {
  if (shape.right.empty()) return shape.left;
  Voicing voices(shape.left.begin() + 1, shape.left.end());
  voices.insert(voices.end(), shape.right.begin(), shape.right.end());
  return voices;
}

std::vector<HandShape> hand_shapes(const Chord& chord, VoicingKind kind, const Key& key, int span) {
  if (kind == VoicingKind::rootless) return rootless_shapes(chord, key, span);
  if (kind == VoicingKind::two_hand) return two_hand_shapes(chord, span);
  return open_shapes(chord, span);
}

std::vector<HandShape> lead_shapes(std::span<const Chord> chords, VoicingKind kind, std::span<const Key> keys, int span,
                                   bool loops) {
  SharedStops<HandShape> stops;
  std::map<std::tuple<int, std::uint32_t, int, unsigned>, std::size_t> lists;
  for (std::size_t i = 0; i < chords.size(); ++i) {
    const Chord& chord = chords[i];
    const auto [list, is_new] = lists.try_emplace(
        {chord.root.fifths(), chord.type.mask(), chord.bass.fifths(), keys[i].sounding_tones()}, lists.size());
    if (is_new) {
      std::vector<HandShape> shapes = hand_shapes(chord, kind, keys[i], span);
      std::vector<int> costs;
      for (const HandShape& shape : shapes) costs.push_back(own_cost(shape));
      stops.add_list(std::move(shapes), std::move(costs));
    }
    stops.add_stop(list->second);
  }
  std::vector<HandShape> result;
  const std::vector<std::size_t> picks = stops.cheapest_path(link_cost, loops);
  for (std::size_t i = 0; i < picks.size(); ++i) result.push_back(stops.choices_at(i)[picks[i]]);
  return result;
}

}  // namespace romanesca
