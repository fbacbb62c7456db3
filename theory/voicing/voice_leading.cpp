#include "theory/voicing/voice_leading.h"

#include <algorithm>
#include <cstdint>
#include <cstdlib>
#include <limits>
#include <map>
#include <tuple>

namespace romanesca {
namespace {

constexpr int free_leap = 4;   // semitones of the top voice that cost nothing beyond their movement
constexpr int free_span = 11;  // semitones of stretch likewise

/// The voicings of the different chords of a piece, and what it costs to go from one to another, each worked out once.
class VoicingNetwork {
 public:
  VoicingNetwork(std::span<const Chord> chords, const VoicingRules& rules) : rules_(rules) {
    for (const Chord& chord : chords) stops_.push_back(stop_for(chord));
  }

  [[nodiscard]] std::size_t length() const { return stops_.size(); }
  [[nodiscard]] const std::vector<Voicing>& voicings_at(std::size_t i) const { return stop(i).voicings; }
  [[nodiscard]] int own_cost(std::size_t i, std::size_t voicing) const { return stop(i).costs[voicing]; }

  /// Costs from each voicing of one stop (rows) to each of another.
  const std::vector<int>& links(std::size_t from, std::size_t to) {
    auto [found, is_new] = links_.try_emplace({stops_[from], stops_[to]});
    if (is_new) {
      for (const Voicing& a : voicings_at(from)) {
        for (const Voicing& b : voicings_at(to)) found->second.push_back(cost_between(a, b));
      }
    }
    return found->second;
  }

 private:
  struct Stop {
    std::vector<Voicing> voicings;
    std::vector<int> costs;
  };
  [[nodiscard]] const Stop& stop(std::size_t i) const { return kinds_[stops_[i]]; }

  std::size_t stop_for(const Chord& chord) {
    const std::tuple key{chord.root.fifths(), chord.type.mask(), chord.bass.fifths()};
    const auto [found, is_new] = places_.try_emplace(key, kinds_.size());
    if (is_new) {
      Stop stop{voicings(chord, rules_), {}};
      for (const Voicing& voicing : stop.voicings) stop.costs.push_back(cost_of(voicing, rules_));
      kinds_.push_back(std::move(stop));
    }
    return found->second;
  }

  VoicingRules rules_;
  std::vector<Stop> kinds_;
  std::map<std::tuple<int, std::uint32_t, int>, std::size_t> places_;
  std::vector<std::size_t> stops_;  ///< for each chord of the piece, its place in kinds_
  std::map<std::pair<std::size_t, std::size_t>, std::vector<int>> links_;
};

constexpr std::int64_t unreachable = std::numeric_limits<std::int64_t>::max() / 2;

/// The cheapest ways from the allowed voicings of the first chord to each of the last: Viterbi's algorithm.
struct Ways {
  std::vector<std::int64_t> cost;                ///< of the way to each voicing of the last chord
  std::vector<std::vector<std::size_t>> before;  ///< the voicing before, for each chord but the first
};

/// @param start the voicing that the first chord must have; the size of its list for any.
Ways cheapest_ways(VoicingNetwork& network, std::size_t start) {
  Ways ways;
  const std::size_t first_size = network.voicings_at(0).size();
  for (std::size_t v = 0; v < first_size; ++v) {
    const bool allowed = start == first_size || start == v;
    ways.cost.push_back(allowed ? network.own_cost(0, v) : unreachable);
  }
  for (std::size_t i = 1; i < network.length(); ++i) {
    const std::size_t size = network.voicings_at(i).size();
    const std::vector<int>& links = network.links(i - 1, i);
    std::vector<std::int64_t> next(size, unreachable);
    std::vector<std::size_t> before(size, 0);
    for (std::size_t from = 0; from < ways.cost.size(); ++from) {
      for (std::size_t to = 0; to < size; ++to) {
        const std::int64_t total = ways.cost[from] + links[from * size + to];
        if (total >= next[to]) continue;
        next[to] = total;
        before[to] = from;
      }
    }
    for (std::size_t to = 0; to < size; ++to) next[to] += network.own_cost(i, to);
    ways.cost = std::move(next);
    ways.before.push_back(std::move(before));
  }
  return ways;
}

/// The voicing of the first chord of the cheapest closed way: every one is tried.
std::size_t best_start(VoicingNetwork& network) {
  const std::size_t first_size = network.voicings_at(0).size();
  const std::vector<int>& seam = network.links(network.length() - 1, 0);
  std::size_t best = 0;
  std::int64_t best_cost = unreachable;
  for (std::size_t start = 0; start < first_size; ++start) {
    const Ways ways = cheapest_ways(network, start);
    for (std::size_t v = 0; v < ways.cost.size(); ++v) {
      const std::int64_t total = ways.cost[v] + seam[v * first_size + start];
      if (total >= best_cost) continue;
      best_cost = total;
      best = start;
    }
  }
  return best;
}

}  // namespace

int movement(const Voicing& from, const Voicing& to) {
  // least[j]: the cheapest way to pair the first i notes of one chord and the first j of the other, every note paired.
  constexpr int never = std::numeric_limits<int>::max() / 2;
  std::vector<int> last(to.size() + 1, never);
  std::vector<int> row(to.size() + 1, never);
  last[0] = 0;
  for (const Pitch& a : from) {
    row[0] = never;
    for (std::size_t j = 1; j <= to.size(); ++j) {
      const int cost = std::abs(a.midi() - to[j - 1].midi());
      row[j] = cost + std::min({last[j - 1], last[j], row[j - 1]});
    }
    std::swap(last, row);
  }
  return last.back();
}

int cost_of(const Voicing& voicing, const VoicingRules& rules) {
  int sum = 0;
  for (const Pitch& note : voicing) sum += note.midi();
  const int size = static_cast<int>(voicing.size());
  const int twice_off = std::abs(2 * sum - size * (rules.range.lowest + rules.range.highest)) / size;
  const int stretch = voicing.back().midi() - voicing.front().midi();
  return voice_leading_cost.off_the_middle * twice_off / 2 +
         voice_leading_cost.wide_span * std::max(0, stretch - free_span);
}

int cost_between(const Voicing& from, const Voicing& to) {
  const int leap = std::abs(to.back().midi() - from.back().midi());
  return voice_leading_cost.semitone * movement(from, to) + voice_leading_cost.top_leap * std::max(0, leap - free_leap);
}

VoiceLeading lead_voices(std::span<const Chord> chords, const VoicingRules& rules, bool loops) {
  VoiceLeading result;
  if (chords.empty()) return result;
  VoicingNetwork network(chords, rules);
  const std::size_t first_size = network.voicings_at(0).size();
  const std::size_t start = loops ? best_start(network) : first_size;
  const Ways ways = cheapest_ways(network, start);
  const std::vector<int>* seam = loops ? &network.links(chords.size() - 1, 0) : nullptr;
  std::size_t pick = 0;
  std::int64_t least = unreachable;
  for (std::size_t v = 0; v < ways.cost.size(); ++v) {
    const std::int64_t total = ways.cost[v] + (seam != nullptr ? (*seam)[v * first_size + start] : 0);
    if (total >= least) continue;
    least = total;
    pick = v;
  }
  result.right.resize(chords.size());
  for (std::size_t i = chords.size(); i-- > 0;) {
    result.right[i] = network.voicings_at(i)[pick];
    if (i > 0) pick = ways.before[i - 1][pick];
  }
  for (std::size_t i = 1; i < chords.size(); ++i) result.semitones += movement(result.right[i - 1], result.right[i]);
  if (loops) result.semitones += movement(result.right.back(), result.right.front());
  return result;
}

}  // namespace romanesca
