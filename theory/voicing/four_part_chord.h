#pragma once

#include <array>
#include <cstdint>
#include <string_view>
#include <vector>

#include "theory/notes/short_list.h"
#include "theory/voicing/four_part.h"

namespace romanesca {

/// The cost of a broken rule. It outweighs the costs of style in a million chords.
inline constexpr std::int64_t rule_cost = std::int64_t{1} << 32;

/// A tone that a chord gives to its voices.
struct PartTone {
  PitchClass name;
  Interval above_root;
  bool only_bass = false;     ///< a bass outside the chord
  bool required = true;       ///< the chord is not complete without it
  bool leading_tone = false;  ///< never doubled; see PartRule
  bool rises = false;         ///< a leading tone that has to rise to the next chord
  bool falls = false;         ///< a seventh or flat ninth: never doubled
  int doubling_cost = 0;      ///< for each voice after the first that sings it
};

/// How the tones of a chord tend to resolve into the next chord.
struct Tendency {
  bool dissonance_falls = false;  ///< a seventh or flat ninth
  int inner_fall = 0;             ///< semitones that an inner voice may fall from the leading tone instead, or 0
  int bass_fall = 0;              ///< the same for the bass
};

/// A chord prepared for four voices.
struct PartChord {
  std::vector<PartTone> tones;
  std::size_t bass = 0;  ///< index into tones
  Tendency tendency;
};
/// @param next the chord after it, or null at the end.
[[nodiscard]] PartChord part_chord(const Chord& chord, const Key& key, const Chord* next);

/// One way to sing a chord. Arrays run from bass to soprano. Pairs of voices are bits in the order of voice_pairs.
struct PartVoicing {
  std::array<std::int16_t, part_count> midi{};
  std::array<std::uint8_t, part_count> tone{};   ///< index into PartChord::tones
  std::array<std::int8_t, part_count> fifths{};  ///< the spelled name, for augmented steps
  std::uint8_t fifth_pairs = 0;                  ///< pairs of voices a perfect fifth apart, octaves not counted
  std::uint8_t octave_pairs = 0;                 ///< pairs in unison or octaves
  std::uint8_t falling_voices = 0;               ///< bit 0 for the bass to bit 3 for the soprano
  std::uint8_t rising_voices = 0;                ///< those whose tone rises
  std::int64_t cost = 0;                         ///< of the chord by itself
};
inline constexpr std::array<std::array<int, 2>, 6> voice_pairs{{{0, 1}, {0, 2}, {0, 3}, {1, 2}, {1, 3}, {2, 3}}};

/// A rule broken within one chord.
struct PartFault {
  PartRule rule{};
  std::uint8_t voice = 0;  ///< for range; the lower of two for crossing and spacing
  std::uint8_t tone = 0;   ///< index into PartChord::tones for doubling and complete
};
using PartFaults = ShortList<PartFault, 16>;
[[nodiscard]] PartFaults faults_within(const PartVoicing& voicing, const PartChord& chord, const PartRanges& ranges);

/// All voicings of the chord within the ranges that break as few rules as any, in a fixed order; at least one. Where a
/// range has none of the tones, the notes nearest to it are taken.
[[nodiscard]] std::vector<PartVoicing> part_voicings(const PartChord& chord, const PartRanges& ranges);

/// "root", "third" ...: the place of a tone in its chord; "ninth" for any second, "fourth" for any fourth.
[[nodiscard]] std::string_view member_name(Interval above_root);

}  // namespace romanesca
