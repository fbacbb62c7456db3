#include "cli/studio/chart_match.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "cli/studio/heard_chords.h"
#include "theory/analysis/key_finding.h"

namespace romanesca {
namespace {

constexpr std::size_t bar_parts = 12;  // of a bar, which is divided by two, three, four and six

/// The chord in each part of a bar.
using BarParts = std::array<std::size_t, bar_parts>;

/// A chord that has no class keeps its place as one that nothing matches.
constexpr std::size_t unknown_class = chord_classes;

std::vector<BarParts> parts_of(const Timeline& timeline) {
  BarParts none;
  none.fill(no_chord_class);
  std::vector<BarParts> bars(static_cast<std::size_t>(timeline.bars), none);
  for (const TimedChord& timed : timeline.chords) {
    const Beats bar_start = timeline.meters.start_of(timed.bar);
    const double bar_length = timeline.meters.at(timed.bar).bar_length().quarters();
    const double first = (timed.start - bar_start).quarters() / bar_length * bar_parts;
    const double end = first + timed.length.quarters() / bar_length * bar_parts;
    const std::size_t chord = timed.chord ? heard_class_of(*timed.chord).value_or(unknown_class) : no_chord_class;
    for (auto i = static_cast<std::size_t>(std::lround(first)); i < bar_parts && static_cast<double>(i) + 0.5 < end;
         ++i)
      bars[static_cast<std::size_t>(timed.bar - 1)][i] = chord;
  }
  return bars;
}

struct BarScore {
  double root = 0, third = 0, exact = 0;
};
BarScore bar_score(const BarParts& truth, const BarParts& heard) {
  BarScore score;
  for (std::size_t i = 0; i < bar_parts; ++i) {
    if (truth[i] == unknown_class) {
      continue;
    }
    const bool both = truth[i] != no_chord_class && heard[i] != no_chord_class;
    score.root += truth[i] == heard[i] || (both && root_of(truth[i]) == root_of(heard[i])) ? 1.0 / bar_parts : 0;
    score.third += triad_family(truth[i]) == triad_family(heard[i]) ? 1.0 / bar_parts : 0;
    score.exact += truth[i] == heard[i] ? 1.0 / bar_parts : 0;
  }
  return score;
}

/// For each bar of the truth the heard one, or -1: the alignment with the most agreement (Needleman & Wunsch, J. Mol.
/// Biol. 48, 1970), without a cost for bars left out.
std::vector<int> align(const std::vector<BarParts>& truth, const std::vector<BarParts>& heard) {
  const std::size_t columns = heard.size() + 1;
  std::vector<double> best((truth.size() + 1) * columns);
  const auto at = [&](std::size_t i, std::size_t j) -> double& { return best[i * columns + j]; };
  // A pair counts a little in any case, so that wrong bars stay beside each other.
  const auto pair = [&](std::size_t i, std::size_t j) { return 0.05 + bar_score(truth[i], heard[j]).third; };
  for (std::size_t i = truth.size(); i-- > 0;) {
    for (std::size_t j = heard.size(); j-- > 0;)
      at(i, j) = std::max({at(i + 1, j), at(i, j + 1), at(i + 1, j + 1) + pair(i, j)});
  }
  std::vector<int> result(truth.size(), -1);
  for (std::size_t i = 0, j = 0; i < truth.size() && j < heard.size();) {
    if (at(i, j) == at(i + 1, j + 1) + pair(i, j)) {
      result[i++] = static_cast<int>(j++);
    } else if (at(i, j) == at(i + 1, j)) {
      ++i;
    } else {
      ++j;
    }
  }
  return result;
}

}  // namespace

ChartMatch match_chart(const RecordingChart& heard, const Progression& truth, const Key& key) {
  const Timeline line = timeline(truth, key);
  const auto true_bars = parts_of(line);
  const auto heard_bars = parts_of(heard.analysis.timeline);
  const std::vector<int> places = align(true_bars, heard_bars);
  ChartMatch match;
  match.bars = static_cast<int>(true_bars.size());
  for (std::size_t i = 0; i < true_bars.size(); ++i) {
    BarScore score;
    bool doubtful = false;
    if (places[i] >= 0) {
      const auto place = static_cast<std::size_t>(places[i]);
      score = bar_score(true_bars[i], heard_bars[place]);
      doubtful = place < heard.doubtful.size() && heard.doubtful[place];
    }
    match.root += score.root / match.bars;
    match.third += score.third / match.bars;
    match.exact += score.exact / match.bars;
    const bool right = score.third > 0.8;
    match.right += right;
    match.right_exactly += score.exact > 0.8;
    match.doubtful += doubtful;
    match.doubtful_right += doubtful && right;
    if (!right) match.wrong.push_back(static_cast<int>(i + 1));
  }
  const Key& heard_key = heard.analysis.keys.main.key;
  match.same_key = heard_key.tonic.sounds_like(key.tonic) && is_minorish(heard_key.mode) == is_minorish(key.mode);
  match.same_meter = heard.song.meter() == truth.meter();
  return match;
}

}  // namespace romanesca
