#pragma once

#include <array>
#include <cstddef>
#include <span>
#include <string_view>
#include <vector>

#include "theory/progression.h"

namespace romanesca {

/// What the key finder hears of a chord: keyboard classes only, so that spelling cannot mislead it.
struct HeardChord {
  double start = 0;         ///< bars from the first chord's bar
  double length = 0;        ///< bars, more than 0
  int root = 0;             ///< 0 to 11
  bool minor = false;       ///< minor third; a chord without a third counts as major
  bool dominant = false;    ///< major third and minor seventh
  bool sounds = true;       ///< false for N.C.
  std::uint16_t tones = 0;  ///< bit set of the sounding classes
};

/// The chords of a timeline as the key finder hears them; N.C. before the first chord is left out.
[[nodiscard]] std::vector<HeardChord> hear(const Timeline& timeline);

inline constexpr std::size_t evidence_count = 20;
/// How strongly each of twenty signs speaks for one tonic.
using Evidence = std::array<double, evidence_count>;

/// The signs, in order, with what they were found to weigh over a whole song and over a window of sixteen bars.
struct EvidenceWeight {
  std::string_view sign;
  double song;
  double window;
};
[[nodiscard]] std::span<const EvidenceWeight, evidence_count> evidence_weights() noexcept;

/// The evidence for each of the twelve tonics in a stretch of chords.
/// @param whole_song weighs by the song's column, else by the window's.
/// @return log probabilities of the twelve tonics; all equal where nothing sounds.
[[nodiscard]] std::array<double, 12> tonic_log_probabilities(std::span<const HeardChord> chords, bool whole_song);

}  // namespace romanesca
