#include "progressions/exercises/loop.h"

#include <algorithm>
#include <array>

#include "progressions/exercises/closing.h"
#include "progressions/exercises/rounds.h"
#include "theory/chords/numeral_text.h"
#include "theory/voicing/bass_line.h"

namespace romanesca {
namespace {

std::vector<std::vector<Chord>> realised_bars(const NumeralBars& bars, const Key& key) {
  std::vector<std::vector<Chord>> result;
  for (const auto& bar : bars) {
    auto& chords = result.emplace_back();
    for (const Numeral& numeral : bar) chords.push_back(realise(numeral, key));
  }
  return result;
}

int lowest_level(const Analysis& analysis) {
  for (const Level& level : levels()) {
    if (chords_fit(analysis, level)) return level.number;
  }
  return levels().back().number;
}

/// The chords over the bass that walks.
std::vector<Chord> walking(const Progression& progression, const Analysis& analysis) {
  std::vector<Chord> result;
  for (const TimedChord& timed : timeline(with_stepwise_bass(progression, analysis), analysis.keys.main.key).chords) {
    result.push_back(*timed.chord);
  }
  return result;
}

Loop loop_of(NumeralBars bars, Mode mode) {
  Loop loop;
  const Key key = easiest_key(mode);
  const Progression progression = progression_of(realised_bars(bars, key), key);
  loop.analysis = analyse(progression, KeyText{key.tonic, key.mode});
  loop.bars = std::move(bars);
  loop.level = lowest_level(loop.analysis);
  const int last = static_cast<int>(loop.bars.size());
  for (const Cadence& cadence : loop.analysis.cadences) {
    if (cadence.bar == last) loop.ending = cadence.kind;
  }
  loop.bass_can_walk = bass_steps(walking(progression, loop.analysis)) > bass_steps(loop.chords(key));
  loop.in_key = std::all_of(loop.analysis.chords.begin(), loop.analysis.chords.end(),
                            [](const AnalysedChord& each) { return each.reading->origin == Origin::diatonic; });
  loop.begins_home = loop.analysis.chords.front().timed.chord->root == key.tonic;
  return loop;
}

std::vector<Loop> make_loops(Mode mode) {
  std::vector<Loop> result;
  std::vector<NumeralBars> known;
  for (NumeralBars& bars : rounds(mode)) {
    if (std::find(known.begin(), known.end(), bars) != known.end()) continue;
    known.push_back(bars);
    result.push_back(loop_of(std::move(bars), mode));
  }
  return result;
}

}  // namespace

bool Loop::one_chord_a_bar() const {
  return std::all_of(bars.begin(), bars.end(), [](const auto& bar) { return bar.size() == 1; });
}

std::vector<Chord> Loop::chords(const Key& key) const {
  std::vector<Chord> result;
  for (const auto& bar : realised_bars(bars, key)) result.insert(result.end(), bar.begin(), bar.end());
  return result;
}

std::string Loop::numerals() const {
  std::string text;
  for (const auto& bar : bars) {
    for (const Numeral& numeral : bar) text += (text.empty() ? "" : " ") + to_string(numeral);
  }
  return text;
}

std::span<const Loop> loops(Mode mode) {
  static const auto all = [] {
    std::array<std::vector<Loop>, all_modes.size()> result;
    for (const Mode each : all_modes) {
      if (each != Mode::locrian) result[static_cast<std::size_t>(each)] = make_loops(each);
    }
    return result;
  }();
  return all[static_cast<std::size_t>(mode)];
}

std::vector<const Loop*> loops_for(Mode mode, const Level& level, const std::function<bool(const Loop&)>& wish) {
  constexpr std::size_t handful = 24;
  std::vector<const Loop*> found;
  // From the hardest down, until there are enough.
  for (int hardest = 8; hardest >= 1; --hardest) {
    if (hardest < level.number - 1 && found.size() >= handful) break;
    for (const Loop& loop : loops(mode)) {
      if (loop.level != hardest || (wish && !wish(loop))) continue;
      if (chords_fit(loop.analysis, level)) found.push_back(&loop);
    }
  }
  return found;
}

Progression progression_of(const std::vector<std::vector<Chord>>& bars, const Key& key) {
  Progression progression;
  progression.key = KeyText{key.tonic, key.mode};
  Row row;
  int column = 0;  // each chord has a place of its own, as in a text: readings are found by it
  for (const auto& chords : bars) {
    Bar bar;
    for (const Chord& chord : chords) bar.slots.push_back({chord, {1, ++column, 1}});
    row.bars.push_back(std::move(bar));
  }
  progression.sections.push_back({"", {std::move(row)}, std::nullopt});
  return progression;
}

}  // namespace romanesca
