#include "theory/voice_leading.h"

#include <algorithm>
#include <array>
#include <cstdint>
#include <cstdlib>
#include <limits>

namespace romanesca {
namespace {

/// Movement counts first, distance from the middle of the range second; one number keeps them in order.
constexpr std::int64_t movement_weight = 1 << 20;

std::int64_t distance_from_middle(const Voicing& voicing, HandRange range) {
  int sum = 0;
  for (const Pitch& note : voicing) sum += note.midi();
  const int size = static_cast<int>(voicing.size());
  return std::abs(2 * sum - size * (range.lowest + range.highest)) / size;
}

}  // namespace

int movement(const Voicing& from, const Voicing& to) {
  // least[j]: the cheapest way to pair the first i notes of one chord and the first j of the other, every note paired.
  constexpr int unreachable = std::numeric_limits<int>::max() / 2;
  std::vector<int> last(to.size() + 1, unreachable);
  std::vector<int> row(to.size() + 1, unreachable);
  last[0] = 0;
  for (const Pitch& a : from) {
    row[0] = unreachable;
    for (std::size_t j = 1; j <= to.size(); ++j) {
      const int cost = std::abs(a.midi() - to[j - 1].midi());
      row[j] = cost + std::min({last[j - 1], last[j], row[j - 1]});
    }
    std::swap(last, row);
  }
  return last.back();
}

VoiceLeading lead_voices(std::span<const Chord> chords, HandRange range) {
  VoiceLeading result;
  if (chords.empty()) return result;
  std::vector<std::vector<Voicing>> choices;
  std::vector<std::vector<std::size_t>> came_from;
  std::vector<std::int64_t> cost;
  for (const Chord& chord : chords) {
    choices.push_back(close_positions(right_hand_tones(chord), range));
    const std::vector<Voicing>& here = choices.back();
    std::vector<std::int64_t> next(here.size());
    came_from.emplace_back(here.size());
    for (std::size_t i = 0; i < here.size(); ++i) {
      std::int64_t best = cost.empty() ? 0 : std::numeric_limits<std::int64_t>::max();
      for (std::size_t k = 0; k < cost.size(); ++k) {
        const std::int64_t total = cost[k] + movement_weight * movement(choices[choices.size() - 2][k], here[i]);
        if (total >= best) continue;
        best = total;
        came_from.back()[i] = k;
      }
      next[i] = best + distance_from_middle(here[i], range);
    }
    cost = std::move(next);
  }
  std::size_t pick = static_cast<std::size_t>(std::min_element(cost.begin(), cost.end()) - cost.begin());
  result.right.resize(chords.size());
  for (std::size_t i = chords.size(); i-- > 0;) {
    result.right[i] = choices[i][pick];
    pick = came_from[i][pick];
  }
  for (std::size_t i = 1; i < chords.size(); ++i) result.semitones += movement(result.right[i - 1], result.right[i]);
  return result;
}

}  // namespace romanesca
