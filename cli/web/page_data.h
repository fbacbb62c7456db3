#pragma once

#include <nlohmann/json.hpp>

#include "progressions/exercise.h"
#include "theory/voicing/hands.h"

namespace romanesca {

// JSON in the data of a page. The page returns the hand settings with each request for a song, so that text, page and
// paper show the same voicings.

/// {"voicing":"close","left":"root","span":9,"inversions":2,"loop":true}
[[nodiscard]] nlohmann::ordered_json hand_settings_json(const HandSettings& settings);

/// Reads the same. A member that is missing or of another type has its default, with loop true; numbers are clamped to
/// their range. @param json any value
[[nodiscard]] HandSettings read_hand_settings(const nlohmann::ordered_json& json);

/// The hidden part of an exercise: {"hidden":[0,2],"text":"...","asks":"...",
/// "solution":["up","down"],"heard":{"notes":[[0,1920,48,88]],"length":9600,"tempo":72}}. "hidden" counts the chords of
/// the timeline from 0; "text" is the whole progression, shown with the answer; "solution" has the first right
/// answer for each place. "heard", for ear exercises only, is what is played: start, length (in 1/960 of a quarter
/// note), MIDI number and velocity of each note; tempo in quarter notes per minute. null if no chord is hidden.
[[nodiscard]] nlohmann::ordered_json task_json(const Exercise& exercise);

inline constexpr int task_ticks = 960;  ///< per quarter note

}  // namespace romanesca
