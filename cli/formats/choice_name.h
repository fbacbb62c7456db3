#pragma once

#include <cstddef>
#include <string>

namespace romanesca {

/// "A", "B" ... for the place of an exercise in its set.
[[nodiscard]] inline std::string choice_name(std::size_t place) {
  return std::string(1, static_cast<char>('A' + place));
}

}  // namespace romanesca
