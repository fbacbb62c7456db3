#pragma once

#include <algorithm>
#include <array>
#include <optional>
#include <string_view>

namespace romanesca::test {

/// How loud a part may be beside the drums, in LU, over a whole song.
struct PartBalance {
  std::string_view part;
  double lowest_lu, highest_lu;
};

/// Common practice in mixing for practice, no source: drums and bass carry the time and stand in front, what plays the
/// chords lies under them and is still heard, held sounds lie under that, and so does hand percussion.
inline constexpr std::array<PartBalance, 8> part_balance{{{"bass", -5, 3},
                                                          {"keys", -8, 2},
                                                          {"guitar", -8, 1},
                                                          {"organ", -10, -1},
                                                          {"pad", -12, -2},
                                                          {"strings", -12, -2},
                                                          {"percussion", -14, -2},
                                                          {"horns", -8, 1}}};

/// By how many dB a part should change to lie in its range: 0 if it does, nothing for a part without a rule.
inline std::optional<double> balance_correction_db(std::string_view part, double beside_drums_lu) {
  for (const PartBalance& rule : part_balance) {
    if (rule.part == part) return std::clamp(beside_drums_lu, rule.lowest_lu, rule.highest_lu) - beside_drums_lu;
  }
  return std::nullopt;
}

}  // namespace romanesca::test
