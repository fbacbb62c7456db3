#pragma once

#include <nlohmann/json.hpp>

#include "progressions/exercise.h"

namespace romanesca {

/// What a page needs of an exercise whose chords are not all shown: {"hidden":[0,2],"text":"...","asks":"...",
/// "solution":["up","down"],"heard":{"notes":[[0,1920,48,88]],"length":9600,"tempo":72}}. "hidden" counts the chords of
/// the timeline from 0; "text" is the whole progression, for when the answer is asked for; "solution" has the first
/// right answer for each place. "heard", of ear exercises alone, is what is to be played: start, length (in 1/960 of a
/// quarter note), MIDI number and velocity of each note. null for an exercise that shows everything.
[[nodiscard]] nlohmann::ordered_json task_json(const Exercise& exercise);

inline constexpr int task_ticks = 960;  ///< a quarter note

}  // namespace romanesca
