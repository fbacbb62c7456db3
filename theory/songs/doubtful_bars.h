#pragma once

#include <span>
#include <string>
#include <vector>

#include "theory/songs/progression.h"

namespace romanesca {

/// The comment after a line of bars that names those that whoever wrote them is not sure of: "# ? bars 3, 4".
/// @param bars their numbers from 1 through the whole song; empty for none, which gives an empty text
[[nodiscard]] std::string doubt_comment(std::span<const int> bars);

/// The bars, as played, that such comments of the song name; rising. Other comments count for nothing.
[[nodiscard]] std::vector<int> doubtful_bars(const Progression& progression);

}  // namespace romanesca
