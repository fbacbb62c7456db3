#pragma once

#include "cli/web/page_song.h"
#include "theory/hands.h"

namespace romanesca {

// What only the lesson page asks for.

/// The hands of the level asked for; those of an average hand without one.
[[nodiscard]] HandSettings lesson_hands(const OrderedJson& request);
/// Key, alternatives, patterns, remarks and ideas, as analyse --json has them.
[[nodiscard]] OrderedJson lesson_analysis(const Placement& song, const OrderedJson& request);
/// An exercise for a key and a level, as exercise --json has it, with its chords as text to be played.
[[nodiscard]] OrderedJson lesson_exercise(const OrderedJson& request);
/// The patterns of the library.
[[nodiscard]] OrderedJson lesson_library();

}  // namespace romanesca
