#pragma once

#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "theory/notes/pitch.h"

namespace romanesca {

/// A scale as intervals above its tonic, rising within one octave.
struct Scale {
  std::string_view name;              ///< "dorian", "harmonic minor", "major pentatonic"
  std::span<const Interval> degrees;  ///< the first is the unison

  [[nodiscard]] std::vector<PitchClass> from(PitchClass tonic) const;
};

/// The scales known by name: the seven church modes (ionian and aeolian also as major and minor), harmonic and melodic
/// minor, the pentatonics and blues scales, whole tone and chromatic (common practice; checked in tests/reference).
[[nodiscard]] std::span<const Scale> all_scales();

/// Exact name in lower case, or nothing.
[[nodiscard]] std::optional<Scale> scale_named(std::string_view name);

}  // namespace romanesca
