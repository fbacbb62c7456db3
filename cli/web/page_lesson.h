#pragma once

#include "cli/web/page_song.h"

namespace romanesca {

// Requests of the lesson page only.

/// Key, alternatives, regions, cadences, patterns, remarks, ideas and "next" (what could come next), as analyse --json
/// has them.
[[nodiscard]] OrderedJson lesson_analysis(const Placement& song, const OrderedJson& request);
/// The answer to "exercises" (key, level, seed, text, choices): {"exercises":[...]}, each as exercise --json has it,
/// with its chords as text to play, and as "task" what task_json returns; with a text, the first works with that song
/// where a kind for songs fits the level.
[[nodiscard]] OrderedJson lesson_exercises(const OrderedJson& request);
/// The patterns of the library.
[[nodiscard]] OrderedJson lesson_library();

}  // namespace romanesca
