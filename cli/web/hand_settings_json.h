#pragma once

#include <nlohmann/json.hpp>

#include "theory/voicing/hands.h"

namespace romanesca {

// The hands of a page's chart on their way through the page: the program writes them into its data, the page gives them
// back with each request for a song, so that words, page and paper show the same.

/// {"voicing":"close","left":"root","span":9,"inversions":2,"loop":true}
[[nodiscard]] nlohmann::ordered_json hand_settings_json(const HandSettings& settings);

/// Reads the same. A member that is missing or of another kind is that of HandSettings, for a loop; numbers out of
/// range are taken as the nearest. @param json any value
[[nodiscard]] HandSettings read_hand_settings(const nlohmann::ordered_json& json);

}  // namespace romanesca
