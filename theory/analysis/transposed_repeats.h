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

/// What speaks for each shift in semitones at a bar, in nats: the passages of four bars that the bar is part of.
[[nodiscard]] std::array<double, 12> shift_votes(const std::vector<TransposedRepeat>& repeats, std::size_t bar);

/// How far each bar of a piece lies above the first appearance of the same music: 0 to 11 semitones, with few changes
/// (Viterbi).
[[nodiscard]] std::vector<int> find_shifts(const std::vector<TransposedRepeat>& repeats);

}  // namespace romanesca
