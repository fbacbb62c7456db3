#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <vector>

#include "theory/analysis/analysis.h"

namespace romanesca {

/// How a hand mistypes a chord.
enum class TypingHabit : std::uint8_t {
  third,       ///< the m is left out or added: A for Am
  letter,      ///< the neighbouring letter: B for A
  accidental,  ///< a sharp or flat left out or added: B for Bb
};

inline constexpr std::size_t slip_sign_count = 14;

/// A chord that may be another one mistyped.
struct Slip {
  std::size_t chord = 0;  ///< index into Analysis::chords
  Chord meant;
  TypingHabit habit = TypingHabit::third;
  std::vector<int>
      like_bars;  ///< bars at the same place of alike lines where the meant chord stands, rising, up to four
  std::array<double, slip_sign_count> signs{};  ///< what speaks for and against it
  double score = 0;                             ///< log odds that it is a slip
};

/// Chords that are likely slips, at most one reading of each chord: lines that are alike (the bars around agree) are
/// compared bar by bar, and the chord that stands in the other lines must be one that a hand mistypes as this one.
[[nodiscard]] std::vector<Slip> find_slips(const Analysis& analysis);

/// The same before the choice: every chord that typing could make of another chord of the piece. Tests and fitting.
[[nodiscard]] std::vector<Slip> slip_candidates(const Analysis& analysis);

}  // namespace romanesca
