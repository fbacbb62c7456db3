#include "progressions/exercises/loop.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <string>

#include "progressions/continuation.h"
#include "progressions/exercises/closing.h"
#include "progressions/exercises/phrase.h"
#include "progressions/library.h"
#include "theory/chords/numeral_text.h"
#include "theory/voicing/bass_line.h"

namespace romanesca {
namespace {

constexpr std::size_t likely_loop_bars = 4;
constexpr double likely_enough = 0.05;
constexpr double likely_together = 0.09;  // geometric mean of the shares of its changes: our choice, by ear
constexpr int most_bars = 8;

std::vector<NumeralBars> library_loops(Mode mode) {
  std::vector<NumeralBars> found;
  for (const Pattern& pattern : library()) {
    if (pattern.mode != mode) continue;
    const Timeline line = timeline(pattern.progression, key_without_accidentals(mode));
    if (line.bars > most_bars) continue;
    NumeralBars bars(static_cast<std::size_t>(line.bars));
    for (const TimedChord& timed : line.chords) {
      if (timed.numeral) bars[static_cast<std::size_t>(timed.bar) - 1].push_back(*timed.numeral);
    }
    // Two bars are too short for a phrase.
    if (bars.size() == 2) bars.insert(bars.end(), {bars[0], bars[1]});
    if (std::none_of(bars.begin(), bars.end(), [](const auto& bar) { return bar.empty(); })) {
      found.push_back(std::move(bars));
    }
  }
  return found;
}

using Followers = std::map<std::string, std::vector<std::string>>;

/// The likely next chords of each chord, as counted in songs.
Followers likely_followers(bool minor) {
  Followers followers;
  for (const ContinuationRow& row : continuation_rows()) {
    if (row.minor != minor) continue;
    for (const auto& [next, share] : row.next) {
      if (share >= likely_enough) followers[row.from].push_back(next);
    }
  }
  return followers;
}

/// Every loop of four chords with this beginning: each chord is a likely one after the chord before, or a repeatable
/// chord once more.
void add_loops(const Followers& followers, std::vector<std::string> begun, const std::vector<std::string>& repeatable,
               std::vector<std::vector<std::string>>& found) {
  if (begun.size() == likely_loop_bars) {
    const bool moves = std::any_of(begun.begin(), begun.end(), [&](const auto& step) { return step != begun.front(); });
    const auto next_after_last = followers.find(begun.back());
    const bool closes =
        begun.back() == begun.front() ||
        (next_after_last != followers.end() && std::find(next_after_last->second.begin(), next_after_last->second.end(),
                                                         begun.front()) != next_after_last->second.end());
    if (moves && closes) found.push_back(std::move(begun));
    return;
  }
  const auto row = followers.find(begun.back());
  std::vector<std::string> next;
  const bool repeated = begun.size() > 1 && begun[begun.size() - 2] == begun.back();
  if (!repeated && std::find(repeatable.begin(), repeatable.end(), begun.back()) != repeatable.end())
    next.push_back(begun.back());
  if (row != followers.end()) next.insert(next.end(), row->second.begin(), row->second.end());
  for (const std::string& step : next) {
    auto longer = begun;
    longer.push_back(step);
    add_loops(followers, std::move(longer), repeatable, found);
  }
}

Numeral numeral_from(const std::string& step, const Key& key) {
  const Chord chord = realise(*parse_roman(step), {key.tonic, Mode::major});  // steps count from the major scale
  return numeral_of(chord, key);
}

enum class Sevenths { none, dominant, all };

/// The chord with the seventh that the key gives it.
Numeral with_seventh(const Numeral& numeral, const Key& key, Sevenths sevenths) {
  const Chord triad = realise(numeral, key);
  const bool dominant = triad.root == key.tonic + intervals::perfect_fifth && triad.type == chord_types::major;
  if (dominant && sevenths != Sevenths::none)
    return numeral_of(Chord::on(triad.root, chord_types::dominant_seventh), key);
  if (sevenths != Sevenths::all) return numeral;
  for (int degree = 1; degree <= 7; ++degree) {
    const Chord own = key.diatonic_chord(degree, 4);
    if (own.root == triad.root && own.type.triad() == triad.type) return numeral_of(own, key);
  }
  return numeral;
}

/// Whether the loop is a phrase: it meets its tonic, its changes are together likely enough, and it ends in a cadence
/// or, from the tonic on, turns round into one.
bool is_phrase(const NumeralBars& bars, const std::vector<std::string>& steps, const Key& key, double together) {
  const auto chord = [&](std::size_t place) { return realise(bars[place].front(), key); };
  const bool meets = std::any_of(bars.begin(), bars.end(),
                                 [&](const auto& bar) { return realise(bar.front(), key).root == key.tonic; });
  if (!meets || together < likely_together) return false;
  const std::size_t last = steps.size() - 1;
  if (steps[last - 1] != steps[last] && cadence_between(chord(last - 1), chord(last), key)) return true;
  if (closes_from_seventh(chord(last - 1), chord(last), key)) return true;
  // Stops on the dominant, held for two bars.
  if (chord(last).root == key.degree(5) && chord(last).type.has(intervals::major_third)) return true;
  return chord(0).root == key.tonic && (cadence_between(chord(last), chord(0), key) == CadenceKind::plagal ||
                                        closes_from_seventh(chord(last), chord(0), key));
}

/// The geometric mean of how often songs make the loop's changes; a chord that stays counts as one in three.
double likelihood(const std::vector<std::string>& steps, bool minor) {
  constexpr double staying = 0.33;
  double product = 1;
  for (std::size_t i = 1; i < steps.size(); ++i) {
    double share = steps[i] == steps[i - 1] ? staying : 0;
    for (const ContinuationRow& row : continuation_rows()) {
      if (row.minor != minor || row.from != steps[i - 1]) continue;
      for (const auto& [next, part] : row.next) {
        if (next == steps[i] && share == 0) share = part;
      }
    }
    product *= share;
  }
  return std::cbrt(product);  // of three changes
}

std::vector<NumeralBars> likely_loops(Mode mode) {
  const bool minor = mode == Mode::minor;
  const Key key = key_without_accidentals(mode);
  const Followers followers = likely_followers(minor);
  std::vector<std::vector<std::string>> steps;
  const std::vector<std::string> main =
      minor ? std::vector<std::string>{"i", "iv", "V"} : std::vector<std::string>{"I", "IV", "V"};
  for (const char* start : {minor ? "i" : "I", minor ? "bVI" : "vi", minor ? "iv" : "IV"}) {
    add_loops(followers, {start}, main, steps);
  }
  std::vector<NumeralBars> result;
  for (const Sevenths sevenths : {Sevenths::none, Sevenths::dominant, Sevenths::all}) {
    for (const auto& loop : steps) {
      NumeralBars bars;
      for (const std::string& step : loop) bars.push_back({with_seventh(numeral_from(step, key), key, sevenths)});
      if (!is_phrase(bars, loop, key, likelihood(loop, minor))) continue;
      result.push_back(std::move(bars));
    }
  }
  return result;
}

/// Loops of the mode's own major and minor triads: from the tonic through a chord with the characteristic note.
std::vector<NumeralBars> modal_loops(Mode mode, int special) {
  const Key key = key_without_accidentals(mode);
  std::vector<Chord> triads;
  for (int degree = 2; degree <= 7; ++degree) {
    const Chord chord = key.diatonic_chord(degree, 3);
    if (!chord.type.is_diminished()) triads.push_back(chord);
  }
  const Chord home = key.diatonic_chord(1, 3);
  const PitchClass colour = key.degree(special);
  const auto characteristic = [&](const Chord& chord) {
    const auto tones = chord.tones();
    return std::find(tones.begin(), tones.end(), colour) != tones.end();
  };
  std::vector<NumeralBars> result;
  const auto add = [&](std::initializer_list<Chord> chords) {
    NumeralBars bars;
    for (const Chord& chord : chords) bars.push_back({numeral_of(chord, key)});
    result.push_back(std::move(bars));
  };
  for (const Chord& a : triads) {
    if (characteristic(a)) {
      add({home, a, home, a});
      add({home, home, a, a});
      add({home, home, a, home});
      add({home, a, a, home});
    }
    for (const Chord& b : triads) {
      if (b == a || !(characteristic(a) || characteristic(b))) continue;
      add({home, a, b, home});
      add({home, a, home, b});
      add({home, a, b, a});
    }
  }
  return result;
}

/// Loops of four to eight bars for a mode: the library's patterns, and every phrase of four in which each chord follows
/// the one before in at least five of a hundred cases (continuations.txt); with triads, with a seventh on the dominant
/// and with sevenths throughout. For the church modes loops of the mode's own triads that hold its characteristic note.
std::vector<NumeralBars> loop_candidates(Mode mode) {
  std::vector<NumeralBars> all = library_loops(mode);
  const auto special = characteristic_degree(mode);
  for (NumeralBars& bars : special ? modal_loops(mode, *special) : likely_loops(mode)) all.push_back(std::move(bars));
  return all;
}

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
  const Key key = key_without_accidentals(mode);
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
  loop.begins_on_tonic = loop.analysis.chords.front().timed.chord->root == key.tonic;
  loop.ends_on_tonic = loop.analysis.chords.back().timed.chord->root == key.tonic;
  return loop;
}

std::vector<Loop> make_loops(Mode mode) {
  std::vector<Loop> result;
  std::vector<std::vector<std::vector<Chord>>> known;  // as they sound: in minor bVI and VI are the same
  const Key key = key_without_accidentals(mode);
  const std::size_t of_library = library_loops(mode).size();  // they come first
  std::size_t place = 0;
  for (NumeralBars& bars : loop_candidates(mode)) {
    const bool from_library = place++ < of_library;
    auto sounding = realised_bars(bars, key);
    if (std::find(known.begin(), known.end(), sounding) != known.end()) continue;
    known.push_back(std::move(sounding));
    result.push_back(loop_of(std::move(bars), mode));
    result.back().from_library = from_library;
  }
  return result;
}

}  // namespace

Key key_without_accidentals(Mode mode) {
  for (const int fifths : {0, 1, 2, 3, 4, 5, -1, -2}) {
    const Key key{PitchClass(fifths), mode};
    if (key.signature() == 0) return key;
  }
  return {PitchClass{}, mode};
}

std::optional<int> characteristic_degree(Mode mode) {
  switch (mode) {
    case Mode::dorian:
      return 6;
    case Mode::phrygian:
    case Mode::locrian:
      return 2;
    case Mode::lydian:
      return 4;
    case Mode::mixolydian:
      return 7;
    case Mode::major:
    case Mode::minor:
      break;
  }
  return std::nullopt;
}

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

std::vector<const Loop*> loops_for(Mode mode, const Level& level, const std::function<bool(const Loop&)>& accept) {
  constexpr std::size_t enough = 24;
  std::vector<const Loop*> found;
  // From the hardest level down, until there are enough.
  for (int hardest = 8; hardest >= 1; --hardest) {
    if (hardest < level.number - 1 && found.size() >= enough) break;
    for (const Loop& loop : loops(mode)) {
      if (loop.level != hardest || (accept && !accept(loop))) continue;
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
