#include "theory/analysis/transposed_repeats.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstdint>
#include <tuple>

namespace romanesca {
namespace {

constexpr int repeat_bars = 4;  // length of a passage; a longer repeat is several that overlap

// Nats for each bar of a repeat, by how many different chords its passage has: two chords a fourth apart often come
// again a fourth higher within one key, four seldom. Found like change_cost in key_path.cpp.
constexpr std::array<double, 5> repeat_votes{0, 0, 0.4, 0.8, 1.2};
constexpr double new_music_vote = 0.2;  // for staying where nothing is repeated
constexpr double shift_cost = 4.0;      // of a change: a single repeat of four bars is hardly enough
constexpr double impossible = 1e6;

/// Four bars without their pitch: equal shapes are transpositions of each other.
struct PassageShape {
  std::uint64_t shape = 0;  ///< 0 where nothing sounds
  int bar = 0;
  int root = -1;  ///< of its first chord
  int different_chords = 0;
};

std::uint64_t joined_hash(std::uint64_t hash, std::uint64_t value) {
  hash = (hash ^ value) * 0x9E3779B97F4A7C15U;
  return hash ^ hash >> 29U;
}

PassageShape shape_from(const std::vector<HeardChord>& chords, std::size_t first_chord, int bar) {
  PassageShape result;
  result.bar = bar;
  std::uint32_t names = 0;
  std::uint64_t hash = 1;
  for (std::size_t i = first_chord; i < chords.size() && chords[i].bar < bar + repeat_bars; ++i) {
    const HeardChord& chord = chords[i];
    if (chord.sounds && result.root < 0) result.root = chord.root;
    int name = 0;
    if (chord.sounds) {
      name = (chord.root - result.root + 12) % 12 * 2 + (chord.minor ? 1 : 0) + 1;
      names |= 1U << static_cast<unsigned>(name);
    }
    const auto place = std::lround((chord.bar - bar + chord.offset) * 48);
    hash = joined_hash(hash, static_cast<std::uint64_t>(place * 32 + name));
  }
  result.different_chords = std::popcount(names);
  if (result.root >= 0) result.shape = hash;
  return result;
}

}  // namespace

std::vector<TransposedRepeat> find_transposed_repeats(const HeardPiece& piece) {
  const auto bars = static_cast<std::size_t>(piece.bars());
  std::vector<TransposedRepeat> result(bars);
  std::vector<PassageShape> shapes;
  shapes.reserve(bars);
  std::size_t chord = 0;
  for (int bar = 0; bar + repeat_bars <= piece.bars(); ++bar) {
    while (chord < piece.chords().size() && piece.chords()[chord].bar < bar) ++chord;
    shapes.push_back(shape_from(piece.chords(), chord, bar));
    result[static_cast<std::size_t>(bar)].different_chords = shapes.back().different_chords;
  }
  std::sort(shapes.begin(), shapes.end(), [](const PassageShape& a, const PassageShape& b) {
    return std::tie(a.shape, a.bar) < std::tie(b.shape, b.bar);
  });
  const PassageShape* original = nullptr;
  for (const PassageShape& here : shapes) {
    if (original == nullptr || here.shape != original->shape) original = &here;
    if (here.shape == 0 || here.bar < original->bar + repeat_bars) continue;
    result[static_cast<std::size_t>(here.bar)].shift = (here.root - original->root + 12) % 12;
  }
  for (std::size_t bar = 0; bar < bars; ++bar) {
    result[bar].begins = result[bar].shift >= 0 && (bar == 0 || result[bar - 1].shift != result[bar].shift);
  }
  return result;
}

std::array<double, 12> shift_votes(const std::vector<TransposedRepeat>& repeats, std::size_t bar) {
  std::array<double, 12> votes{};
  bool repeated = false;
  for (std::size_t from = bar < repeat_bars ? 0 : bar - (repeat_bars - 1); from <= bar; ++from) {
    if (repeats[from].shift < 0) continue;
    double& vote = votes[static_cast<std::size_t>(repeats[from].shift)];
    vote = std::max(vote, repeat_votes[static_cast<std::size_t>(std::min(repeats[from].different_chords, 4))]);
    repeated = repeated || vote > 0;
  }
  if (!repeated) votes[0] = new_music_vote;
  return votes;
}

std::vector<int> find_shifts(const std::vector<TransposedRepeat>& repeats) {
  std::vector<int> shifts(repeats.size());
  const bool moves = std::any_of(repeats.begin(), repeats.end(), [](const auto& each) { return each.shift > 0; });
  if (!moves) return shifts;
  std::array<double, 12> best{};
  best.fill(-impossible);
  best[0] = 0;  // what comes first is the pitch that the rest is measured from
  std::vector<std::array<std::uint8_t, 12>> came_from(repeats.size());
  for (std::size_t bar = 0; bar < repeats.size(); ++bar) {
    const std::array<double, 12> vote = shift_votes(repeats, bar);
    const auto top = std::max_element(best.begin(), best.end());
    const double changed = *top - shift_cost;
    const auto top_shift = static_cast<std::uint8_t>(top - best.begin());
    std::array<double, 12> next{};
    for (std::size_t s = 0; s < 12; ++s) {
      const bool stays = bar == 0 || best[s] >= changed;
      came_from[bar][s] = stays ? static_cast<std::uint8_t>(s) : top_shift;
      next[s] = (stays ? best[s] : changed) + vote[s];
    }
    best = next;
  }
  auto at = static_cast<std::size_t>(std::max_element(best.begin(), best.end()) - best.begin());
  for (std::size_t bar = repeats.size(); bar-- > 0;) {
    shifts[bar] = static_cast<int>(at);
    at = came_from[bar][at];
  }
  return shifts;
}

}  // namespace romanesca
