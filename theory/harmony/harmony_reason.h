#pragma once

#include <string>

#include "theory/harmony/harmoniser.h"

namespace romanesca {

/// Why these chords go with the tune, in a sentence or three: which they are, what is new in them, how the phrases end,
/// and how many long notes are chord tones. Every part is read off the choice's analysis; what is not so is not said.
/// @param usual the choice that fits best, to compare with; nothing for that one itself
[[nodiscard]] std::string harmony_reason(const HarmonyChoice& choice, const Tune& tune, const Analysis* usual,
                                         CadenceTerms terms);

}  // namespace romanesca
