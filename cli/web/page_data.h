#pragma once

#include <nlohmann/json.hpp>

#include "progressions/exercise.h"
#include "theory/voicing/hands.h"

namespace romanesca {

// The hands of a page's chart on their way through the page: the program writes them into its data, the page gives them
// back with each request for a song, so that words, page and paper show the same.

/// {"voicing":"close","left":"root","span":9,"inversions":2,"loop":true}
[[nodiscard]] nlohmann::ordered_json hand_settings_json(const HandSettings& settings);

/// Reads the same. A member that is missing or of another kind is that of HandSettings, for a loop; numbers out of
/// range are taken as the nearest. @param json any value
[[nodiscard]] HandSettings read_hand_settings(const nlohmann::ordered_json& json);

/// What a page needs of an exercise whose chords are not all shown: {"hidden":[0,2],"text":"...","asks":"...",
/// "solution":["up","down"],"heard":{"notes":[[0,1920,48,88]],"length":9600,"tempo":72}}. "hidden" counts the chords of
/// the timeline from 0; "text" is the whole progression, for when the answer is asked for; "solution" has the first
/// right answer for each place. "heard", of ear exercises alone, is what is to be played: start, length (in 1/960 of a
/// quarter note), MIDI number and velocity of each note. null for an exercise that shows everything.
[[nodiscard]] nlohmann::ordered_json task_json(const Exercise& exercise);

inline constexpr int task_ticks = 960;  ///< a quarter note

}  // namespace romanesca
