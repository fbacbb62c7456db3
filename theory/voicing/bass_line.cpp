#include "theory/voicing/bass_line.h"

#include <algorithm>
#include <map>

#include "theory/voicing/viterbi_path.h"

namespace romanesca {
namespace {

constexpr int third_in_bass = 2;  // beside the movement below
constexpr int fifth_in_bass = 5;
constexpr int seventh_in_bass = 4;

/// What it costs to go from one bass note to another, by the nearest way.
int movement_cost(PitchClass from, PitchClass to) {
  const int up = (to.semitone() - from.semitone() + 12) % 12;
  const int distance = std::min(up, 12 - up);
  if (distance == 0) return 4;
  return distance <= 2 ? 0 : 2 + distance;
}

struct Choice {
  PitchClass bass;
  int cost = 0;
};

std::vector<Choice> choices_for(const Chord& chord, bool on_root) {
  if (on_root || chord.bass != chord.root) return {{chord.bass, 0}};
  std::vector<Choice> choices{{chord.root, 0}};
  const auto offer = [&](Interval tone, int cost) {
    if (chord.type.has(tone)) choices.push_back({chord.root + tone, cost});
  };
  offer(intervals::major_third, third_in_bass);
  offer(intervals::minor_third, third_in_bass);
  offer(intervals::perfect_fifth, fifth_in_bass);
  offer(intervals::minor_seventh, seventh_in_bass);
  return choices;
}

}  // namespace

Progression with_stepwise_bass(const Progression& progression, const Analysis& analysis) {
  std::vector<const AnalysedChord*> sounding;
  for (const AnalysedChord& each : analysis.chords) {
    if (each.timed.chord && !each.timed.held) sounding.push_back(&each);
  }
  std::vector<std::vector<Choice>> stops;
  for (std::size_t i = 0; i < sounding.size(); ++i) {
    const bool ends = i == 0 || i + 1 == sounding.size();
    const bool comes_home = i > 0 && sounding[i]->reading->function == Function::tonic &&
                            sounding[i - 1]->reading->function == Function::dominant;
    // The dominant of a last cadence, and the one that a six-four prepares, keep their root too.
    const bool closes = i + 2 >= sounding.size() && sounding[i]->reading->function == Function::dominant;
    const bool prepared = i > 0 && sounding[i - 1]->timed.chord->bass == sounding[i]->timed.chord->root &&
                          sounding[i - 1]->timed.chord->root != sounding[i]->timed.chord->root;
    stops.push_back(choices_for(*sounding[i]->timed.chord, ends || comes_home || closes || prepared));
  }
  const auto picks = viterbi_path(
      stops, [](const Choice& choice) { return choice.cost; },
      [](std::size_t, const Choice& from, const Choice& to) { return movement_cost(from.bass, to.bass); });
  std::map<std::pair<int, int>, PitchClass> bass_at;  // by place in the text; a repeated bar keeps its first bass
  for (std::size_t i = sounding.size(); i-- > 0;) {
    const TextPlace& place = sounding[i]->timed.place;
    bass_at[{place.line, place.column}] = stops[i][picks[i]].bass;
  }
  Progression result = progression;
  for (Section& section : result.sections) {
    for (Row& row : section.rows) {
      for (Bar& bar : row.bars) {
        for (Slot& slot : bar.slots) {
          auto* const chord = std::get_if<Chord>(&slot.content);
          const auto found = bass_at.find({slot.place.line, slot.place.column});
          if (chord != nullptr && found != bass_at.end()) chord->bass = found->second;
        }
      }
    }
  }
  return result;
}

}  // namespace romanesca
