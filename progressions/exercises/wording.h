#pragma once

#include <string>
#include <vector>

#include "theory/chords/chord.h"

namespace romanesca {

/// "C - F - G"
[[nodiscard]] std::string with_dashes(const std::vector<Chord>& chords);
[[nodiscard]] std::vector<std::string> names_of(const std::vector<Chord>& chords);
/// "C, F and G"
[[nodiscard]] std::string listed(const std::vector<std::string>& names);
[[nodiscard]] std::string listed(const std::vector<PitchClass>& notes);
/// "two", up to twelve; then figures.
[[nodiscard]] std::string number_word(std::size_t number);

}  // namespace romanesca
