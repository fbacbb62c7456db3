#include "theory/voicing/left_hand.h"

#include <algorithm>
#include <array>
#include <cstdlib>

#include "theory/voicing/viterbi_path.h"

namespace romanesca {
namespace {

using namespace intervals;

constexpr int lowest_bass = 29;   // F1
constexpr int middle_bass = 46;   // Bb2: where a bass note is clear and full
constexpr int lowest_fifth = 40;  // E2
constexpr int lowest_third = 48;  // C3
constexpr int apart = 1;          // semitones at least between the hands

/// The bass in every octave under the right hand.
std::vector<Pitch> bass_notes(const Chord& chord, const Voicing& right) {
  const int ceiling = right.front().midi() - apart;
  std::vector<Pitch> notes;
  for (Pitch note = lowest_at_or_above(chord.bass, lowest_bass); note.midi() <= ceiling; note = note + octave) {
    notes.push_back(note);
  }
  // Under a very low right hand: wherever it is.
  if (notes.empty()) notes.push_back(lowest_at_or_above(chord.bass, piano_keys.lowest));
  return notes;
}

/// The chord's fifth above the bass, or the tone nearest to one: a sixth over a third, a fourth over a fifth; the bass
/// itself where there is none.
PitchClass fifth_over(const Chord& chord) {
  PitchClass best = chord.bass;
  int nearest = 12;
  for (const PitchClass tone : chord.tones()) {
    const int up = (tone.semitone() - chord.bass.semitone() + 12) % 12;
    const int distance = std::abs(2 * up - 15);  // 7 before 8 before 6
    if (up < 5 || distance >= nearest) continue;
    nearest = distance;
    best = tone;
  }
  return best;
}

void add(Voicing& hand, PitchClass tone, int ceiling, int span) {
  const Pitch note = lowest_at_or_above(tone, hand.back().midi() + 1);
  const int interval = note.midi() - hand.back().midi();
  const int floor = interval < 5 ? lowest_third : interval < 12 ? lowest_fifth : piano_keys.lowest;
  if (hand.back().midi() < floor || note.midi() > ceiling || note.midi() - hand.front().midi() > span) return;
  hand.push_back(note);
}

Voicing in_pattern(const Chord& chord, Pitch bass, const Voicing& right, LeftHand left, int span) {
  Voicing hand{bass};
  const int ceiling = right.front().midi() - apart;
  const PitchClass fifth = fifth_over(chord);
  const bool wants_fifth = left == LeftHand::fifth || left == LeftHand::broken;
  if (wants_fifth && fifth != chord.bass) add(hand, fifth, ceiling, span);
  if (left == LeftHand::octave || left == LeftHand::broken) add(hand, chord.bass, ceiling, span);
  return hand;
}

/// How much a register costs: notes that the pattern wanted and that do not fit there count most.
int cost_of(const Voicing& hand, std::size_t wanted) {
  return 60 * static_cast<int>(wanted - std::min(wanted, hand.size())) +
         2 * std::abs(hand.front().midi() - middle_bass);
}

std::size_t wanted_notes(LeftHand left) { return left == LeftHand::root ? 1 : left == LeftHand::broken ? 3 : 2; }

}  // namespace

std::string_view to_string(LeftHand left) {
  constexpr std::array<std::string_view, 4> names{"root", "fifth", "octave", "broken"};
  return names[static_cast<std::size_t>(left)];
}

std::vector<Voicing> left_hands(std::span<const Chord> chords, std::span<const Voicing> right,
                                std::span<const LeftHand> patterns, int span) {
  // Every octave of each bass note that fits is a choice.
  struct Choice {
    Voicing hand;
    int cost = 0;
  };
  std::vector<std::vector<Choice>> stops;
  for (std::size_t i = 0; i < chords.size(); ++i) {
    stops.emplace_back();
    for (const Pitch& bass : bass_notes(chords[i], right[i])) {
      Voicing hand = in_pattern(chords[i], bass, right[i], patterns[i], span);
      const int cost = cost_of(hand, wanted_notes(patterns[i]));
      stops.back().push_back({std::move(hand), cost});
    }
  }
  const auto picks = viterbi_path(
      stops, [](const Choice& choice) { return choice.cost; },
      [](std::size_t, const Choice& from, const Choice& to) {
        return std::abs(to.hand.front().midi() - from.hand.front().midi());
      });
  std::vector<Voicing> hands;
  for (std::size_t i = 0; i < picks.size(); ++i) hands.push_back(std::move(stops[i][picks[i]].hand));
  return hands;
}

}  // namespace romanesca
