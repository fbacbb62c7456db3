#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <map>
#include <utility>
#include <vector>

namespace romanesca {

/// The choices at the stops of a piece in which the same stops come again and again: each different list of choices is
/// kept once, with what it costs to take one and to go from one to another.
template <typename Choice>
class SharedStops {
 public:
  /// Adds a different list. @param costs one for each choice @return its number
  std::size_t add_list(std::vector<Choice> choices, std::vector<int> costs) {
    lists_.push_back({std::move(choices), std::move(costs)});
    return lists_.size() - 1;
  }
  /// Adds a stop with the list of that number, which may not be empty.
  void add_stop(std::size_t list) { stops_.push_back(list); }

  [[nodiscard]] std::size_t length() const { return stops_.size(); }
  [[nodiscard]] const std::vector<Choice>& choices_at(std::size_t stop) const { return lists_[stops_[stop]].choices; }

  /// The choices, one at each stop, that cost least in all, found exactly (Viterbi's algorithm), in time linear in the
  /// number of stops. @param link cost from one choice to the next one: link(from, to), 0 or more
  /// @param loops the last stop leads back to the first, and that costs too: every first choice is tried
  /// @return the index of the choice taken at each stop
  template <typename Link>
  [[nodiscard]] std::vector<std::size_t> cheapest_path(Link link, bool loops) {
    std::vector<std::size_t> picks(stops_.size());
    if (stops_.empty()) return picks;
    const std::size_t first_size = choices_at(0).size();
    const std::vector<int>* seam = loops ? &links(stops_.size() - 1, 0, link) : nullptr;
    const std::size_t start = loops ? best_start(*seam, link) : first_size;
    const Ways ways = cheapest_ways(start, link);
    std::int64_t least = unreachable;
    for (std::size_t last = 0; last < ways.cost.size(); ++last) {
      const std::int64_t total = ways.cost[last] + (seam != nullptr ? (*seam)[last * first_size + start] : 0);
      if (total >= least) continue;
      least = total;
      picks.back() = last;
    }
    for (std::size_t i = picks.size() - 1; i > 0; --i) picks[i - 1] = ways.before[i - 1][picks[i]];
    return picks;
  }

 private:
  struct List {
    std::vector<Choice> choices;
    std::vector<int> costs;
  };
  /// The cheapest ways from the first stop to each choice of the last.
  struct Ways {
    std::vector<std::int64_t> cost;                ///< of the way to each choice of the last stop
    std::vector<std::vector<std::size_t>> before;  ///< the choice before, for each stop but the first
  };
  static constexpr std::int64_t unreachable = std::numeric_limits<std::int64_t>::max() / 2;

  /// Costs from each choice of one stop (rows) to each of another, worked out once.
  template <typename Link>
  const std::vector<int>& links(std::size_t from, std::size_t to, Link link) {
    auto [found, is_new] = links_.try_emplace({stops_[from], stops_[to]});
    if (is_new) {
      for (const Choice& a : choices_at(from)) {
        for (const Choice& b : choices_at(to)) found->second.push_back(link(a, b));
      }
    }
    return found->second;
  }

  /// @param start the choice that the first stop must take; the size of its list for any.
  template <typename Link>
  Ways cheapest_ways(std::size_t start, Link link) {
    Ways ways;
    const std::vector<int>& first = lists_[stops_[0]].costs;
    for (std::size_t v = 0; v < first.size(); ++v) {
      ways.cost.push_back(start == first.size() || start == v ? first[v] : unreachable);
    }
    for (std::size_t i = 1; i < stops_.size(); ++i) {
      const std::vector<int>& own = lists_[stops_[i]].costs;
      const std::vector<int>& costs = links(i - 1, i, link);
      std::vector<std::int64_t> next(own.size(), unreachable);
      std::vector<std::size_t> before(own.size(), 0);
      for (std::size_t from = 0; from < ways.cost.size(); ++from) {
        for (std::size_t to = 0; to < own.size(); ++to) {
          const std::int64_t total = ways.cost[from] + costs[from * own.size() + to];
          if (total >= next[to]) continue;
          next[to] = total;
          before[to] = from;
        }
      }
      for (std::size_t to = 0; to < own.size(); ++to) next[to] += own[to];
      ways.cost = std::move(next);
      ways.before.push_back(std::move(before));
    }
    return ways;
  }

  /// The choice at the first stop of the cheapest closed way: every one is tried. @param seam links from last to first
  template <typename Link>
  std::size_t best_start(const std::vector<int>& seam, Link link) {
    const std::size_t first_size = choices_at(0).size();
    std::size_t best = 0;
    std::int64_t best_cost = unreachable;
    for (std::size_t start = 0; start < first_size; ++start) {
      const Ways ways = cheapest_ways(start, link);
      for (std::size_t last = 0; last < ways.cost.size(); ++last) {
        const std::int64_t total = ways.cost[last] + seam[last * first_size + start];
        if (total >= best_cost) continue;
        best_cost = total;
        best = start;
      }
    }
    return best;
  }

  std::vector<List> lists_;
  std::vector<std::size_t> stops_;
  std::map<std::pair<std::size_t, std::size_t>, std::vector<int>> links_;
};

}  // namespace romanesca
