#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <vector>

namespace romanesca {

/// The choices, one at each stop, whose costs and links cost least in all: Viterbi's algorithm, exact and linear in the
/// number of stops. Of equal paths the one with the earlier choices.
/// @param stops the choices at each; none may be empty
/// @param own cost of a choice: own(choice) @param link cost from one stop's choice to the next one's:
/// link(stop, from, to), where stop is the index of the later one
/// @return the index of the choice taken at each stop
template <typename Choice, typename Own, typename Link>
[[nodiscard]] std::vector<std::size_t> viterbi_path(const std::vector<std::vector<Choice>>& stops, Own own, Link link) {
  std::vector<std::vector<std::size_t>> before;  // for each stop and choice, the choice that led there
  std::vector<std::int64_t> cost;
  for (std::size_t i = 0; i < stops.size(); ++i) {
    const std::size_t size = stops[i].size();
    std::vector<std::int64_t> next(size, i == 0 ? 0 : std::numeric_limits<std::int64_t>::max());
    std::vector<std::size_t> from(size, 0);
    for (std::size_t to = 0; to < size; ++to) {
      for (std::size_t u = 0; u < cost.size(); ++u) {
        const std::int64_t total = cost[u] + link(i, stops[i - 1][u], stops[i][to]);
        if (total >= next[to]) continue;
        next[to] = total;
        from[to] = u;
      }
      next[to] += own(stops[i][to]);
    }
    cost = std::move(next);
    before.push_back(std::move(from));
  }
  std::vector<std::size_t> picks(stops.size());
  if (stops.empty()) return picks;
  picks.back() = static_cast<std::size_t>(std::min_element(cost.begin(), cost.end()) - cost.begin());
  for (std::size_t i = stops.size() - 1; i > 0; --i) picks[i - 1] = before[i][picks[i]];
  return picks;
}

}  // namespace romanesca
