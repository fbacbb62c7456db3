#pragma once

#include "cli/web/page_song.h"

namespace romanesca {

// Requests of the lesson page only.

/// Key, alternatives, patterns, remarks and ideas, as analyse --json has them.
[[nodiscard]] OrderedJson lesson_analysis(const Placement& song, const OrderedJson& request);
/// An exercise for a key and a level, as exercise --json has it, with its chords as text to play, and
/// as "task" what task_json returns.
[[nodiscard]] OrderedJson lesson_exercise(const OrderedJson& request);
/// The patterns of the library.
[[nodiscard]] OrderedJson lesson_library();

}  // namespace romanesca
