#pragma once

#include <optional>
#include <string_view>

#include "theory/tunes/tune.h"

namespace romanesca {

/// The notes that a singer reaches.
struct SingerRange {
  Pitch lowest, highest;
};

/// Reads "A3-D5": the lowest note first, C4 is middle C. Nothing for any other text.
[[nodiscard]] std::optional<SingerRange> parse_singer_range(std::string_view text);

/// The lowest and the highest note of a tune; nothing for one without notes.
[[nodiscard]] std::optional<SingerRange> range_of(const Tune& tune);

/// By how many semitones, up or down (negative), a tune must be moved at least to lie in the range; 0 where it does
/// already. Nothing where the tune is wider than the range.
[[nodiscard]] std::optional<int> shift_into(const SingerRange& range, const Tune& tune);

/// The tune moved by whole octaves.
[[nodiscard]] Tune moved_by_octaves(Tune tune, int octaves);

}  // namespace romanesca
