#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "theory/analysis/analysis.h"

namespace romanesca {

/// How music gets to another key (Open Music Theory, "Modulation"; Kostka & Payne; from memory).
enum class KeyChange : std::uint8_t {
  none,         ///< the first key of a piece
  pivot,        ///< through a chord that belongs to both keys
  dominant,     ///< through the dominant of the new key, which is foreign to the old one
  step,         ///< straight up by a semitone or a whole tone
  common_tone,  ///< a note of the last chord stays in the first of the new key
  direct,       ///< none of these
};
[[nodiscard]] std::string_view to_string(KeyChange change);
/// "through a chord of both keys", "by its dominant", "by step", "by a common tone", "directly".
[[nodiscard]] std::string_view in_words(KeyChange change);

/// A stretch of bars in one key.
struct KeyRegion {
  int bar = 1;  ///< its first, from 1
  Key key;
  KeyChange by = KeyChange::none;
  std::string how;  ///< in words: "A is V of D", "E stays"; empty where there is nothing to say
};

/// The keys of a piece in order; one region where it stays in its key.
[[nodiscard]] std::vector<KeyRegion> key_regions(const Analysis& analysis);

}  // namespace romanesca
