#include "synth/arranging/bass_notes.h"

#include <algorithm>
#include <array>
#include <cstdlib>
#include <initializer_list>
#include <optional>

#include "synth/arranging/groove.h"
#include "theory/voicing/viterbi_path.h"

namespace romanesca {
namespace {

constexpr int highest_note = 51;

int bass_of(const Chord& chord) { return lowest_at_or_above(chord.bass, bass_roots.lowest).midi(); }

/// The first of these tones, as intervals from the root, that the chord has, above the bass; else @p otherwise.
int above_bass(const Chord& chord, std::initializer_list<Interval> tones, int otherwise) {
  for (const Interval tone : tones) {
    if (chord.type.has(tone)) return bass_of(chord) + ((chord.root + tone) - chord.bass).semitones();
  }
  return otherwise;
}

int fifth_above(const Chord& chord) {
  using namespace intervals;
  return above_bass(chord, {perfect_fifth, diminished_fifth, augmented_fifth}, bass_of(chord));
}

bool has_tone(const Chord& chord, int midi) {
  return (chord.sounding_tones() >> static_cast<unsigned>(midi % 12) & 1U) != 0;
}

/// The cost of a passing tone; -1 for one that would change the chord. The second and, in minor, the fourth and seventh
/// pass; the sixth over a major chord makes it sound like its relative minor, so it is a last resort.
int passing_cost(const Chord& chord, int midi) {
  const int above = ((midi - chord.root.semitone()) % 12 + 12) % 12;
  if (above == 2) return chord.type.has(intervals::minor_second) ? -1 : 6;
  if (chord.type.is_minor()) return above == 5 || above == 10 ? 6 : -1;
  return above == 9 && !chord.type.has(intervals::minor_sixth) ? 14 : -1;
}

/// A semitone or tone below or above the next bass note, on the nearer side; the fifth if the bass stays.
int approach(const Chord& chord, const Chord& next) {
  const int root = bass_of(chord);
  const int goal = bass_of(next);
  if (goal == root) return fifth_above(chord);
  // Of the four neighbours of the goal take a tone of the chord that sounds, else the semitone on the nearer side.
  const int side = goal > root ? -1 : 1;
  for (const int step : {side, 2 * side, -side, -2 * side}) {
    if (goal + step >= bass_roots.lowest && has_tone(chord, goal + step)) return goal + step;
  }
  return goal + side < bass_roots.lowest ? goal + 1 : goal + side;
}

int sixth_above(const Chord& chord) {
  const int sixth = bass_of(chord) + ((chord.root + intervals::major_sixth) - chord.bass).semitones();
  return chord.type.is_minor() ? fifth_above(chord) : sixth;
}

int seventh_above(const Chord& chord) {
  using namespace intervals;
  return above_bass(chord, {minor_seventh, major_seventh, diminished_seventh}, bass_of(chord) + 12);
}

int fifth_below(const Chord& chord) {
  const int below = fifth_above(chord) - 12;
  return below >= bass_roots.lowest ? below : fifth_above(chord);
}

/// @param next the chord that follows
int note_of(char sign, const Chord& chord, const Chord& next) {
  using namespace intervals;
  switch (sign) {
    case '3':
      return above_bass(chord, {major_third, minor_third, perfect_fourth, major_second}, bass_of(chord));
    case '5':
      return fifth_above(chord);
    case '6':
      return sixth_above(chord);
    case '7':
      return seventh_above(chord);
    case '8':
      return bass_of(chord) + 12;
    case 'v':
      return fifth_below(chord);
    case 'A':
      return approach(chord, next);
    default:
      return bass_of(chord);
  }
}

struct Step {
  int midi;
  int cost;
};

int leap_cost(int from, int to) {
  constexpr std::array<int, 13> costs{9, 0, 0, 2, 2, 3, 9, 4, 8, 8, 9, 10, 7};
  return 4 * costs[static_cast<std::size_t>(std::min(std::abs(to - from), 12))];
}

/// The notes that a walking bass may play at one stroke, with their costs. @param goal the note after it if that is the
/// next chord's bass
std::vector<Step> steps_over(const Chord& chord, bool on_strong_beat, std::optional<int> goal, const Chance& chance,
                             std::uint32_t place) {
  std::vector<Step> steps;
  for (int midi = bass_roots.lowest; midi <= highest_note; ++midi) {
    const bool leads = goal && std::abs(*goal - midi) == 1;
    int cost = has_tone(chord, midi) ? 0 : passing_cost(chord, midi);
    if (cost < 0 && leads) cost = 4;
    if (cost < 0) continue;
    if (cost > 0 && on_strong_beat && !goal) cost += 12;
    if (goal && std::abs(*goal - midi) > 2) cost += 8;
    // The line stays around the middle of its range.
    cost += std::max(0, midi - 45) + std::max(0, 31 - midi);
    steps.push_back({midi, cost + chance.below(4, place, static_cast<std::uint32_t>(midi))});
  }
  return steps;
}

}  // namespace

std::vector<int> bass_notes(std::span<const Stroke> strokes, const Score& score, std::uint32_t seed) {
  const Chance chance(seed);
  const auto chord_at = [&](std::size_t stroke) -> const Chord& { return score.chords[strokes[stroke].chord].chord; };
  std::vector<int> notes(strokes.size());
  for (std::size_t i = 0; i < strokes.size(); ++i) {
    const std::size_t next = (strokes[i].chord + 1) % score.chords.size();
    notes[i] = note_of(strokes[i].sign, chord_at(i), score.chords[next].chord);
  }
  for (std::size_t i = 0; i < strokes.size();) {
    std::size_t end = i;
    while (end < strokes.size() && strokes[end].sign == 'W') ++end;
    if (end == i) {
      ++i;
      continue;
    }
    const int goal = end < strokes.size() ? notes[end] : bass_of(score.chords.front().chord);
    std::vector<std::vector<Step>> stops;
    if (i > 0) stops.push_back({{notes[i - 1], 0}});
    for (std::size_t w = i; w < end; ++w) {
      const bool last = w + 1 == end;
      const ScoreBar& bar = score.bar_at(strokes[w].start);
      const bool strong = whole_times(strokes[w].start - bar.start, bar.meter.pulse_length()) % 2 == 0;
      stops.push_back(steps_over(chord_at(w), strong, last ? std::optional<int>(goal) : std::nullopt, chance,
                                 static_cast<std::uint32_t>(w)));
    }
    stops.push_back({{goal, 0}});
    const auto picks = viterbi_path(
        stops, [](const Step& step) { return step.cost; },
        [](std::size_t, const Step& from, const Step& to) { return leap_cost(from.midi, to.midi); });
    const std::size_t first = i > 0 ? 1 : 0;
    for (std::size_t w = i; w < end; ++w) notes[w] = stops[first + w - i][picks[first + w - i]].midi;
    i = end;
  }
  return notes;
}

}  // namespace romanesca
