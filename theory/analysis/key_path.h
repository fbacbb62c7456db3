#pragma once

#include <array>
#include <vector>

#include "theory/analysis/key_model.h"
#include "theory/analysis/transposed_repeats.h"

namespace romanesca {

/// The search looks at blocks of so many bars through windows of so many, centred on them.
inline constexpr int key_block_bars = 4;
inline constexpr int key_window_bars = 16;

using LogProbabilities = std::array<double, 12>;  ///< of the twelve tonics, from C upwards

/// A few bars, and how likely each tonic is there.
struct KeyBlock {
  int first_bar = 0;
  int shift = 0;                  ///< semitones above the first appearance of the same music
  std::array<float, 12> home{};   ///< log probabilities of the tonics, heard as that first appearance
  std::array<float, 12> plain{};  ///< heard as it stands, without what lies on the other side of a change of shift
  std::array<float, 12> votes{};  ///< for each shift, in nats
  bool begins_section = false;
  bool begins_shift = false;
};

/// Cuts a piece into blocks, which begin with its sections and where its music begins to come back at another pitch.
/// @param shifts of the bars, as find_shifts gives them @param in_one_key the piece with each bar moved down by its
/// shift
[[nodiscard]] std::vector<KeyBlock> key_blocks(const HeardPiece& piece, const HeardPiece& in_one_key,
                                               const std::vector<TransposedRepeat>& repeats,
                                               const std::vector<int>& shifts, const Evidence& weights);

/// The tonic of each bar, 0 to 11: the best path through the blocks. Each has a home tonic and a shift above it, whose
/// sum is its tonic; changes of either have a cost (Viterbi). Then each change is moved to the bar nearby
/// where the chords, the repeats and the sections put it.
/// @param home what speaks for each home tonic in every block
[[nodiscard]] std::vector<int> find_key_path(const HeardPiece& piece, const std::vector<KeyBlock>& blocks,
                                             const LogProbabilities& home, const std::vector<TransposedRepeat>& repeats,
                                             const std::vector<int>& shifts);

}  // namespace romanesca
