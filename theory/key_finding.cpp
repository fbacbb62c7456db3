#include "theory/key_finding.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <map>

#include "theory/key_evidence.h"

namespace romanesca {
namespace {

constexpr int block_bars = 4;
constexpr int window_bars = 16;
constexpr double change_cost = 9.0;        // nats; found on the corpora named in key_evidence.cpp
constexpr double song_weight = 0.5;        // of the whole piece's evidence in each window; found likewise
constexpr double stated_bonus = 10.0;      // nats for the key that the text names, in every block
constexpr int shortest_with_changes = 16;  // bars; a shorter piece whose key is stated stays in it

using LogProbabilities = std::array<double, 12>;

/// Best path through the tonics of the blocks: one pass forward, one back.
std::vector<int> best_path(const std::vector<LogProbabilities>& blocks) {
  std::vector<std::array<int, 12>> came_from(blocks.size());
  LogProbabilities best = blocks.front();
  for (std::size_t b = 1; b < blocks.size(); ++b) {
    const auto top = std::max_element(best.begin(), best.end());
    LogProbabilities next{};
    for (std::size_t t = 0; t < 12; ++t) {
      const bool stay = best[t] >= *top - change_cost;
      came_from[b][t] = stay ? static_cast<int>(t) : static_cast<int>(top - best.begin());
      next[t] = (stay ? best[t] : *top - change_cost) + blocks[b][t];
    }
    best = next;
  }
  std::vector<int> path(blocks.size());
  path.back() = static_cast<int>(std::max_element(best.begin(), best.end()) - best.begin());
  for (std::size_t b = blocks.size() - 1; b > 0; --b) path[b - 1] = came_from[b][static_cast<std::size_t>(path[b])];
  return path;
}

std::vector<LogProbabilities> block_evidence(const std::vector<HeardChord>& heard, int bars,
                                             const LogProbabilities& song) {
  std::vector<LogProbabilities> blocks;
  const int margin = (window_bars - block_bars) / 2;
  for (int bar = 0; bar < bars; bar += block_bars) {
    const auto from = std::lower_bound(heard.begin(), heard.end(), bar - margin,
                                       [](const HeardChord& c, double value) { return c.start < value - 1e-9; });
    const auto to = std::lower_bound(from, heard.end(), bar + block_bars + margin,
                                     [](const HeardChord& c, double value) { return c.start < value - 1e-9; });
    LogProbabilities here = tonic_log_probabilities({from, to}, false);
    for (std::size_t t = 0; t < 12; ++t) here[t] += song_weight * song[t];
    blocks.push_back(here);
  }
  return blocks;
}

/// The letter name for a sounding tonic: as the text spells it as a root most of the time, else the one nearest to its
/// other roots on the line of fifths; always a key that can be written.
Key spelled_key(int tonic, const Timeline& timeline, int first_bar, int last_bar) {
  std::map<int, double> as_root;
  double sum = 0;
  double time = 0;
  for (const TimedChord& timed : timeline.chords) {
    if (!timed.chord) continue;
    const double length = timed.length.quarters();
    sum += length * timed.chord->root.fifths();
    time += length;
    if (timed.chord->root.semitone() == tonic) as_root[timed.chord->root.fifths()] += length;
  }
  PitchClass name(0);
  if (!as_root.empty()) {
    const auto most = std::max_element(as_root.begin(), as_root.end(),
                                       [](const auto& a, const auto& b) { return a.second < b.second; });
    name = PitchClass(most->first);
  } else {
    const double centre = time > 0 ? sum / time : 0;
    double nearest = std::numeric_limits<double>::max();
    for (int fifths = -7; fifths <= 12; ++fifths) {
      const PitchClass candidate(fifths);
      const double distance = std::abs(fifths - centre + 1);
      if (candidate.semitone() != tonic || distance >= nearest) continue;
      nearest = distance;
      name = candidate;
    }
  }
  const Key key{name, mode_on(name, timeline.chords, first_bar, last_bar)};
  return key.can_be_written() ? key : simplest_spelling(key);
}

}  // namespace

Mode mode_on(PitchClass tonic, const std::vector<TimedChord>& chords, int first_bar, int last_bar) {
  std::array<double, 12> tones{};
  double major = 0;
  double minor = 0;
  double time = 0;
  for (const TimedChord& timed : chords) {
    if (!timed.chord || timed.bar < first_bar || timed.bar > last_bar) continue;
    const double length = timed.length.quarters();
    time += length;
    for (const PitchClass tone : timed.chord->tones()) {
      tones[static_cast<std::size_t>(((tone.semitone() - tonic.semitone()) % 12 + 12) % 12)] += length;
    }
    if (timed.chord->root.sounds_like(tonic) && timed.chord->type.has_third()) {
      (timed.chord->type.is_minor() ? minor : major) += length;
    }
  }
  if (major == 0 && minor == 0) {
    major = tones[4];
    minor = tones[3];
  }
  const auto never = [&](std::size_t tone) { return tones[tone] == 0; };
  // The tone that tells a mode apart must sound for a good part of the time, not in one passing chord.
  const auto marks = [&](std::size_t tone, double share) { return tones[tone] >= share * time; };
  if (minor > major) {
    if (marks(9, 0.2) && never(8) && never(11)) return Mode::dorian;
    if (marks(1, 0.2) && never(2) && never(11) && never(9)) return Mode::phrygian;
    return Mode::minor;
  }
  if (marks(10, 0.2) && never(11) && never(3) && never(8) && never(6)) return Mode::mixolydian;
  if (marks(6, 0.3) && never(5) && never(10)) return Mode::lydian;
  return Mode::major;
}

KeyReading find_key(const Timeline& timeline, const std::optional<KeyText>& stated) {
  KeyReading reading;
  const std::vector<HeardChord> heard = hear(timeline);
  if (heard.empty()) {
    if (stated) reading.main = {{stated->tonic, stated->mode.value_or(Mode::major)}, 1};
    reading.by_bar.assign(static_cast<std::size_t>(timeline.bars), reading.main.key);
    return reading;
  }
  const int first = std::find_if(timeline.chords.begin(), timeline.chords.end(), [](const TimedChord& timed) {
                      return timed.chord.has_value();
                    })->bar;
  const LogProbabilities song = tonic_log_probabilities(heard, true);
  std::vector<LogProbabilities> blocks = block_evidence(heard, timeline.bars - first + 1, song);
  if (stated) {
    for (LogProbabilities& block : blocks) block[static_cast<std::size_t>(stated->tonic.semitone())] += stated_bonus;
  }
  std::vector<int> path = best_path(blocks);
  if (stated && timeline.bars < shortest_with_changes) std::fill(path.begin(), path.end(), stated->tonic.semitone());

  // The key of every run of blocks, spelled and with the mode that its own bars make.
  std::array<double, 12> held{};
  for (std::size_t begin = 0; begin < path.size();) {
    std::size_t end = begin;
    while (end < path.size() && path[end] == path[begin]) ++end;
    const int from = first + static_cast<int>(begin) * block_bars;
    const int to = std::min(timeline.bars, first + static_cast<int>(end) * block_bars - 1);
    held[static_cast<std::size_t>(path[begin])] += to - from + 1;
    const bool is_stated = stated && stated->tonic.semitone() == path[begin];
    Key key = spelled_key(path[begin], timeline, from, to);
    if (is_stated) key = {stated->tonic, stated->mode.value_or(key.mode)};
    reading.by_bar.resize(static_cast<std::size_t>(begin == 0 ? first - 1 : from - 1), key);
    reading.by_bar.resize(static_cast<std::size_t>(to), key);
    begin = end;
  }

  const auto most =
      stated ? stated->tonic.semitone() : static_cast<int>(std::max_element(held.begin(), held.end()) - held.begin());
  for (int tonic = 0; tonic < 12; ++tonic) {
    KeyGuess guess{spelled_key(tonic, timeline, 1, timeline.bars), std::exp(song[static_cast<std::size_t>(tonic)])};
    if (tonic == most) {
      reading.main = guess;
    } else if (guess.confidence > 0.01) {
      reading.alternatives.push_back(guess);
    }
  }
  if (stated) reading.main = {{stated->tonic, stated->mode.value_or(reading.main.key.mode)}, 1};
  for (Key& key : reading.by_bar) {
    if (key.tonic.sounds_like(reading.main.key.tonic)) key = reading.main.key;
  }
  std::stable_sort(reading.alternatives.begin(), reading.alternatives.end(),
                   [](const KeyGuess& a, const KeyGuess& b) { return a.confidence > b.confidence; });
  return reading;
}

}  // namespace romanesca
