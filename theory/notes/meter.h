#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>

#include "theory/notes/beats.h"

namespace romanesca {

/// A time signature.
struct Meter {
  int upper = 4;
  int lower = 4;

  [[nodiscard]] constexpr Beats bar_length() const noexcept { return beat_length() * upper; }
  /// The unit of the lower number, in which positions are counted and "/" is read: an eighth in 6/8.
  [[nodiscard]] constexpr Beats beat_length() const noexcept { return {4, lower}; }
  /// 6/8, 9/8 and 12/8: felt in dotted quarters.
  [[nodiscard]] constexpr bool is_compound() const noexcept { return lower == 8 && upper % 3 == 0 && upper > 3; }
  /// The felt pulse, which the tempo counts: a dotted quarter in compound meters, else the beat.
  [[nodiscard]] constexpr Beats pulse_length() const noexcept { return is_compound() ? Beats{3, 2} : beat_length(); }
  [[nodiscard]] constexpr int pulses() const noexcept { return is_compound() ? upper / 3 : upper; }

  friend constexpr bool operator==(const Meter&, const Meter&) noexcept = default;
};

inline constexpr std::array all_meters{Meter{2, 4}, Meter{3, 4}, Meter{4, 4}, Meter{5, 4},
                                       Meter{6, 8}, Meter{9, 8}, Meter{12, 8}};

/// "6/8".
[[nodiscard]] inline std::string to_string(const Meter& meter) {
  return std::to_string(meter.upper) + "/" + std::to_string(meter.lower);
}
/// One of all_meters, or nothing.
[[nodiscard]] inline std::optional<Meter> parse_meter(std::string_view text) {
  for (const Meter& meter : all_meters) {
    if (to_string(meter) == text) return meter;
  }
  return std::nullopt;
}

}  // namespace romanesca
