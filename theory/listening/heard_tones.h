#pragma once

#include <array>
#include <vector>

#include "theory/chords/chord.h"
#include "theory/chords/key.h"
#include "theory/listening/sounding_tones.h"

namespace romanesca {

/// How tones that were heard compare with a chord: ToneAnswer with names.
struct SoundMatch {
  using Answer = ToneAnswer::Kind;
  Answer answer = Answer::unclear;
  bool whole = false;
  std::vector<PitchClass> missing;
  std::vector<PitchClass> foreign;  ///< spelled for the key
};

/// @param probability of each pitch class, C first
[[nodiscard]] SoundMatch match_sound(const std::array<float, 12>& probability, const Chord& chord, const Key& key);

}  // namespace romanesca
