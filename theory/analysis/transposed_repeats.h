#pragma once

#include <array>
#include <vector>

#include "theory/analysis/key_model.h"

namespace romanesca {

/// The passage of four bars that begins with a bar, as a repeat of an earlier passage that has ended.
struct TransposedRepeat {
  int shift = -1;            ///< semitones that it lies above its first appearance, 0 to 11; -1 for no repeat
  bool begins = false;       ///< the bar before is not part of the same repeat
  int different_chords = 0;  ///< of the passage, by root and third
};

/// Where passages of a piece come back at the same or another pitch: "the last chorus a tone higher". One entry for
/// each bar of the piece. Chords count by their root and whether their third is minor, with their place in the bar.
/// O(n log n) in the bars.
[[nodiscard]] std::vector<TransposedRepeat> find_transposed_repeats(const HeardPiece& piece);

/// How far each bar of a piece lies above the first appearance of the same music.
struct TranspositionPath {
  std::vector<std::array<double, 12>> votes;  ///< for each bar and shift in semitones what speaks for it, in nats
  std::vector<int> shifts;                    ///< the likeliest shift of each bar: 0 to 11, few changes (Viterbi)
};
[[nodiscard]] TranspositionPath find_transpositions(const std::vector<TransposedRepeat>& repeats);

}  // namespace romanesca
