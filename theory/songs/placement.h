#pragma once

#include <optional>

#include "theory/analysis/analysis.h"
#include "theory/songs/progression.h"
#include "theory/text/text_error.h"

namespace romanesca {

/// A progression in the key that was asked for, as absolute chords, with its analysis: numerals and numbers realised in
/// the key, chords transposed to it from their own. Numerals that were written stay as written in the analysis.
struct Placement {
  Progression progression;
  Key key;
  Analysis analysis;
};

/// @param key nothing for the progression's own; numerals without one are realised in C. @param open_mode of numerals
/// that do not say theirs; nothing for the one they speak of
/// @return what is wrong, without a place: a key that cannot be written, a major song asked for in minor or the other
/// way round.
[[nodiscard]] Parsed<Placement> place_in_key(Progression progression, const std::optional<KeyText>& key,
                                             const std::optional<Mode>& open_mode,
                                             MinorDegrees style = MinorDegrees::from_major);

}  // namespace romanesca
