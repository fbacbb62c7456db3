#include "theory/analysis/key_path.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstdint>
#include <cstdlib>

namespace romanesca {
namespace {

// Costs in nats, found on the corpora named in key_model.cpp, as they are and with their last sixteen bars
// moved to another key. Any of them may be a third more or less without changing the result by one in a hundred.
constexpr double change_cost = 12.0;         // of another home tonic
constexpr double section_change_cost = 1.0;  // the same where a section begins: a choice, the corpora name none
constexpr double shift_cost_at_repeat = 4.0;
constexpr double shift_cost_elsewhere = 14.0;
constexpr double impossible_start = 1e6;

constexpr std::size_t state_count = 144;  // home tonic * 12 + shift
using StateScores = std::array<double, state_count>;

constexpr std::size_t state_of(std::size_t home, std::size_t shift) { return home * 12 + shift; }

double score_of(const KeyBlock& block, std::size_t home, std::size_t shift, const LogProbabilities& home_scores) {
  const bool as_repeat = static_cast<int>(shift) == block.shift;
  const std::size_t tonic = home + shift < 12 ? home + shift : home + shift - 12;
  return (as_repeat ? block.home[home] : block.plain[tonic]) + home_scores[home] + block.votes[shift];
}

/// A state, and what it costs to come from there.
struct PathOrigin {
  std::size_t state = 0;
  double score = 0;
};

/// The best state of each home, less a cost; the first of equal ones.
PathOrigin best_of_home(const StateScores& scores, std::size_t home, double cost) {
  std::size_t best = state_of(home, 0);
  for (std::size_t shift = 1; shift < 12; ++shift) {
    if (scores[state_of(home, shift)] > scores[best]) best = state_of(home, shift);
  }
  return {best, scores[best] - cost};
}

/// The best state of each shift; the first of equal ones.
std::array<PathOrigin, 12> best_of_shifts(const StateScores& scores) {
  std::array<PathOrigin, 12> best{};
  for (std::size_t shift = 0; shift < 12; ++shift) best[shift] = {shift, scores[shift]};
  for (std::size_t state = 12, shift = 0; state < state_count; ++state, shift = shift == 11 ? 0 : shift + 1) {
    if (scores[state] > best[shift].score) best[shift] = {state, scores[state]};
  }
  return best;
}

/// The best of them; the first state of equal ones.
PathOrigin best_of_all(const std::array<PathOrigin, 12>& of_shifts) {
  PathOrigin best = of_shifts[0];
  for (const PathOrigin& each : of_shifts) {
    if (each.score > best.score || (each.score == best.score && each.state < best.state)) best = each;
  }
  return best;
}

/// One pass forward, one back: the tonic of each block.
std::vector<int> tonics_of_blocks(const std::vector<KeyBlock>& blocks, const LogProbabilities& home_scores) {
  std::vector<std::array<std::uint8_t, state_count>> came_from(blocks.size());
  StateScores scores{};
  for (std::size_t state = 0; state < state_count; ++state) {
    const bool possible = state % 12 == 0;
    scores[state] = possible ? score_of(blocks[0], state / 12, 0, home_scores) : -impossible_start;
  }
  for (std::size_t b = 1; b < blocks.size(); ++b) {
    const KeyBlock& block = blocks[b];
    const double home_cost = block.begins_section ? section_change_cost : change_cost;
    const double shift_cost = block.begins_shift ? shift_cost_at_repeat : shift_cost_elsewhere;
    std::array<PathOrigin, 12> of_shifts = best_of_shifts(scores);
    PathOrigin of_all = best_of_all(of_shifts);
    of_all.score -= home_cost + shift_cost;
    for (PathOrigin& each : of_shifts) each.score -= home_cost;
    for (std::size_t home = 0; home < 12; ++home) {
      const PathOrigin of_home = best_of_home(scores, home, shift_cost);
      const PathOrigin elsewhere = of_all.score > of_home.score ? of_all : of_home;
      for (std::size_t shift = 0; shift < 12; ++shift) {
        const std::size_t state = state_of(home, shift);
        PathOrigin from{state, scores[state]};
        if (of_shifts[shift].score > from.score) from = of_shifts[shift];
        if (elsewhere.score > from.score) from = elsewhere;
        came_from[b][state] = static_cast<std::uint8_t>(from.state);
        scores[state] = from.score + score_of(block, home, shift, home_scores);
      }
    }
  }
  std::vector<int> tonics(blocks.size());
  auto state = static_cast<std::size_t>(std::max_element(scores.begin(), scores.end()) - scores.begin());
  for (std::size_t b = blocks.size(); b-- > 0;) {
    tonics[b] = static_cast<int>((state / 12 + state % 12) % 12);
    state = came_from[b][state];
  }
  return tonics;
}

/// A place where blocks must begin.
struct Cut {
  int bar = 0;
  bool section = false, shift = false;
};

std::vector<Cut> cuts_of(const HeardPiece& piece, const std::vector<int>& shifts) {
  constexpr int nearest = 2;  // bars: closer cuts are one
  std::vector<Cut> cuts{{0, true, false}};
  for (int bar = 1; bar < piece.bars(); ++bar) {
    const bool section = piece.section_around(bar).first == bar;
    const bool shift = shifts[static_cast<std::size_t>(bar)] != shifts[static_cast<std::size_t>(bar - 1)];
    if (!section && !shift) continue;
    Cut& last = cuts.back();
    if (bar - last.bar < nearest || (!section && piece.bars() - bar < nearest)) {
      last.section = last.section || section;
      last.shift = last.shift || shift;
    } else {
      cuts.push_back({bar, section, shift});
    }
  }
  return cuts;
}

std::array<float, 12> in_floats(const LogProbabilities& values) {
  std::array<float, 12> result{};
  std::transform(values.begin(), values.end(), result.begin(), [](double value) { return static_cast<float>(value); });
  return result;
}

// How well a bar fits a key, in nats for a whole bar.
constexpr double tonic_fit = 0.3;
constexpr double repeat_fit = 2.0;
constexpr double section_fit = 2.0;
constexpr double distance_cost = 0.1;  // a bar away from where the blocks put the change
constexpr int farthest_move = 8;       // bars

double bar_fit(const HeardPiece& piece, int bar, int tonic) {
  constexpr unsigned major = 0xAB5;  // bit sets of the scales on C
  constexpr unsigned minor = 0x5AD;
  constexpr unsigned leading = 1U << 11U;
  double fit = 0;
  for (const HeardChord& chord : piece.chords_of(bar)) {
    if (!chord.sounds) continue;
    const unsigned twice = chord.tones | static_cast<unsigned>(chord.tones) << 12U;
    const unsigned tones = twice >> static_cast<unsigned>(tonic) & 0xFFFU;
    const int above = (chord.root - tonic + 12) % 12;
    const unsigned harmonic = above == 7 || above == 11 ? minor | leading : minor;
    const int foreign = std::min(std::popcount(tones & ~major), std::popcount(tones & ~harmonic));
    fit += chord.length * ((above == 0 ? tonic_fit : 0) - std::min(foreign, 2));
  }
  return fit;
}

/// Moves each change of tonic to the bar nearby that fits best.
void place_changes(std::vector<int>& tonics, const HeardPiece& piece, const std::vector<TransposedRepeat>& repeats,
                   const std::vector<int>& shifts) {
  const auto tonic_at = [&](int bar) -> int& { return tonics[static_cast<std::size_t>(bar)]; };
  const int bars = piece.bars();
  int last_change = 0;
  for (int change = 1; change < bars; ++change) {
    const int before = tonic_at(change - 1);
    const int after = tonic_at(change);
    if (before == after) continue;
    int end = change;
    while (end < std::min(bars, change + farthest_move + 1) && tonic_at(end) == after) ++end;
    double sum = 0;
    double best = -impossible_start;
    int place = change;
    for (int bar = std::max(change - farthest_move, last_change + 1); bar < end; ++bar) {
      const TransposedRepeat& repeat = repeats[static_cast<std::size_t>(bar)];
      const int rise = (repeat.shift - shifts[static_cast<std::size_t>(last_change)] + 12) % 12;
      const bool begins_repeat = repeat.begins && rise == (after - before + 12) % 12;
      const double fit = sum + (begins_repeat ? repeat_fit : 0) +
                         (piece.section_around(bar).first == bar ? section_fit : 0) -
                         distance_cost * std::abs(bar - change);
      if (fit > best) {
        best = fit;
        place = bar;
      }
      sum += bar_fit(piece, bar, before) - bar_fit(piece, bar, after);
    }
    for (int bar = place; bar < change; ++bar) tonic_at(bar) = after;
    for (int bar = change; bar < place; ++bar) tonic_at(bar) = before;
    last_change = place;
    change = std::max(change, place);
  }
}

}  // namespace

std::vector<KeyBlock> key_blocks(const HeardPiece& piece, const HeardPiece& in_one_key,
                                 const std::vector<TransposedRepeat>& repeats, const std::vector<int>& shifts,
                                 const Evidence& weights) {
  std::vector<KeyBlock> blocks;
  const std::vector<Cut> cuts = cuts_of(piece, shifts);
  blocks.reserve(static_cast<std::size_t>(piece.bars() / key_block_bars) + cuts.size());
  const bool moves = std::any_of(shifts.begin(), shifts.end(), [](int shift) { return shift != 0; });
  constexpr int margin = (key_window_bars - key_block_bars) / 2;
  for (std::size_t c = 0; c < cuts.size(); ++c) {
    const int part_end = c + 1 < cuts.size() ? cuts[c + 1].bar : piece.bars();
    for (int bar = cuts[c].bar; bar < part_end; bar += key_block_bars) {
      const auto [section_first, section_end] = piece.section_around(bar);
      const int from = bar - margin;
      const int to = bar + key_block_bars + margin;
      KeyBlock block;
      block.first_bar = bar;
      block.shift = shifts[static_cast<std::size_t>(bar)];
      block.begins_section = bar == cuts[c].bar && cuts[c].section;
      block.begins_shift = bar == cuts[c].bar && cuts[c].shift;
      // A window ends where its section ends.
      block.home = in_floats(tonic_log_probabilities(
          in_one_key.evidence(std::max(from, section_first), std::min(to, section_end)), weights));
      block.plain = block.home;
      if (moves) {
        const auto evidence = piece.evidence(std::max(from, cuts[c].bar), std::min(to, part_end));
        block.plain = in_floats(tonic_log_probabilities(evidence, weights));
      }
      for (int b = bar; b < std::min(bar + key_block_bars, part_end); ++b) {
        const std::array<double, 12> votes = shift_votes(repeats, static_cast<std::size_t>(b));
        for (std::size_t s = 0; s < 12; ++s) block.votes[s] += static_cast<float>(votes[s]);
      }
      blocks.push_back(block);
    }
  }
  return blocks;
}

std::vector<int> find_key_path(const HeardPiece& piece, const std::vector<KeyBlock>& blocks,
                               const LogProbabilities& home, const std::vector<TransposedRepeat>& repeats,
                               const std::vector<int>& shifts) {
  const std::vector<int> of_blocks = tonics_of_blocks(blocks, home);
  std::vector<int> tonics(static_cast<std::size_t>(piece.bars()));
  for (std::size_t b = 0; b < blocks.size(); ++b) {
    const int end = b + 1 < blocks.size() ? blocks[b + 1].first_bar : piece.bars();
    std::fill(tonics.begin() + blocks[b].first_bar, tonics.begin() + end, of_blocks[b]);
  }
  place_changes(tonics, piece, repeats, shifts);
  return tonics;
}

}  // namespace romanesca
