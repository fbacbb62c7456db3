#pragma once

#include <array>

namespace romanesca {

/// What a microphone heard at a moment after notes were struck.
struct TonesHeard {
  double onset_ms = 0;                  ///< when they were struck
  double at_ms = 0;                     ///< the moment, later
  std::array<float, 12> probability{};  ///< that each pitch class sounds, C first, 0 to 1
};

/// After an onset: what is heard earlier is less sure.
inline constexpr double tones_settle_ms = 250;

/// The tones of a chord as bit sets of pitch classes: bit 0 for C to bit 11 for B.
struct AskedTones {
  unsigned tones = 0;
  int root = 0;            ///< 0 to 11
  unsigned also_fine = 0;  ///< others that may sound, like a foreign bass
};

/// How tones that a microphone heard compare with those of a chord. It hears the third partial of the root like the
/// fifth, and a seventh among the partials of the bass: so a perfect fifth that is missing and a seventh that is added
/// to a triad are not looked at.
struct ToneAnswer {
  enum class Kind {
    right,  ///< each tone of the chord is there, and no other
    wrong,  ///< a tone is missing or another is there beyond doubt
    unclear
  };
  Kind kind = Kind::unclear;
  bool whole = true;     ///< all tones of the chord are there beyond doubt
  unsigned missing = 0;  ///< tones of the chord that are not there beyond doubt
  unsigned foreign = 0;  ///< others that are there beyond doubt
};

/// @param probability that each pitch class sounds, C first, 0 to 1
[[nodiscard]] ToneAnswer answer_to(const std::array<float, 12>& probability, const AskedTones& asked) noexcept;

}  // namespace romanesca
