#include "progressions/exercises/rounds.h"

#include <algorithm>
#include <map>
#include <string>

#include "progressions/continuation.h"
#include "progressions/library.h"
#include "theory/chords/numeral_text.h"

namespace romanesca {
namespace {

constexpr std::size_t round_length = 4;
constexpr double likely_enough = 0.05;
constexpr int most_bars = 8;

std::vector<NumeralBars> library_rounds(Mode mode) {
  std::vector<NumeralBars> found;
  for (const Pattern& pattern : library()) {
    if (pattern.mode != mode) continue;
    const Timeline line = timeline(pattern.progression, easiest_key(mode));
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

/// What follows what, as the corpus counts it.
Followers counted_followers(bool minor) {
  Followers followers;
  for (const ContinuationRow& row : continuation_rows()) {
    if (row.minor != minor) continue;
    for (const auto& [next, share] : row.next) {
      if (share >= likely_enough) followers[row.from].push_back(next);
    }
  }
  return followers;
}

/// Every round of four from the start, each chord following the one before or, where it may rest, standing still.
void add_rounds(const Followers& followers, std::vector<std::string> begun, const std::vector<std::string>& may_rest,
                std::vector<std::vector<std::string>>& rounds) {
  if (begun.size() == round_length) {
    const bool moves = std::any_of(begun.begin(), begun.end(), [&](const auto& step) { return step != begun.front(); });
    const auto home = followers.find(begun.back());
    const bool goes_round = begun.back() == begun.front() ||
                            (home != followers.end() &&
                             std::find(home->second.begin(), home->second.end(), begun.front()) != home->second.end());
    if (moves && goes_round) rounds.push_back(std::move(begun));
    return;
  }
  const auto row = followers.find(begun.back());
  std::vector<std::string> next;
  const bool rested = begun.size() > 1 && begun[begun.size() - 2] == begun.back();
  if (!rested && std::find(may_rest.begin(), may_rest.end(), begun.back()) != may_rest.end())
    next.push_back(begun.back());
  if (row != followers.end()) next.insert(next.end(), row->second.begin(), row->second.end());
  for (const std::string& step : next) {
    auto longer = begun;
    longer.push_back(step);
    add_rounds(followers, std::move(longer), may_rest, rounds);
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

std::vector<NumeralBars> counted_rounds(Mode mode) {
  const bool minor = mode == Mode::minor;
  const Key key = easiest_key(mode);
  const Followers followers = counted_followers(minor);
  std::vector<std::vector<std::string>> rounds;
  const std::vector<std::string> main =
      minor ? std::vector<std::string>{"i", "iv", "V"} : std::vector<std::string>{"I", "IV", "V"};
  for (const char* start : {minor ? "i" : "I", minor ? "bVI" : "vi", minor ? "iv" : "IV"}) {
    add_rounds(followers, {start}, main, rounds);
  }
  std::vector<NumeralBars> result;
  for (const Sevenths sevenths : {Sevenths::none, Sevenths::dominant, Sevenths::all}) {
    for (const auto& round : rounds) {
      NumeralBars bars;
      for (const std::string& step : round) bars.push_back({with_seventh(numeral_from(step, key), key, sevenths)});
      result.push_back(std::move(bars));
    }
  }
  return result;
}

/// Rounds of the mode's own major and minor triads: from home, through a chord with the special note.
std::vector<NumeralBars> mode_rounds(Mode mode, int special) {
  const Key key = easiest_key(mode);
  std::vector<Chord> triads;
  for (int degree = 2; degree <= 7; ++degree) {
    const Chord chord = key.diatonic_chord(degree, 3);
    if (!chord.type.is_diminished()) triads.push_back(chord);
  }
  const Chord home = key.diatonic_chord(1, 3);
  const PitchClass colour = key.degree(special);
  const auto coloured = [&](const Chord& chord) {
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
    if (coloured(a)) {
      add({home, a, home, a});
      add({home, home, a, a});
      add({home, home, a, home});
      add({home, a, a, home});
    }
    for (const Chord& b : triads) {
      if (b == a || !(coloured(a) || coloured(b))) continue;
      add({home, a, b, home});
      add({home, a, home, b});
      add({home, a, b, a});
    }
  }
  return result;
}

}  // namespace

Key easiest_key(Mode mode) {
  for (const int fifths : {0, 1, 2, 3, 4, 5, -1, -2}) {
    const Key key{PitchClass(fifths), mode};
    if (key.signature() == 0) return key;
  }
  return {PitchClass{}, mode};
}

std::optional<int> special_degree(Mode mode) {
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

std::vector<NumeralBars> rounds(Mode mode) {
  std::vector<NumeralBars> all = library_rounds(mode);
  const auto special = special_degree(mode);
  for (NumeralBars& bars : special ? mode_rounds(mode, *special) : counted_rounds(mode)) all.push_back(std::move(bars));
  return all;
}

}  // namespace romanesca
