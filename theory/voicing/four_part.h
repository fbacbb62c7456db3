#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "theory/chords/chord.h"
#include "theory/chords/key.h"

namespace romanesca {

/// The voices of four-part writing, low to high. Their numbers index the arrays below.
enum class VoicePart : std::uint8_t { bass, tenor, alto, soprano };
inline constexpr std::size_t part_count = 4;
[[nodiscard]] std::string_view to_string(VoicePart part);

/// MIDI numbers that a voice sings, ends included: 0 to 127. Of a range wider than two octaves the lower two are used.
struct PartRange {
  int lowest = 0;
  int highest = 127;
};
using PartRanges = std::array<PartRange, part_count>;
/// The ranges of the textbooks (Aldwell & Schachter, "Harmony and Voice Leading"; Kostka & Payne, "Tonal Harmony"; from
/// memory): bass E2 to C4, tenor C3 to G4, alto G3 to D5, soprano C4 to G5. For the alto books say C5 or D5; here D5.
inline constexpr PartRanges choir_ranges{{{40, 60}, {48, 67}, {55, 74}, {60, 79}}};

/// One chord sung by four voices: bass, tenor, alto, soprano, spelled as in the chord.
struct FourPartVoicing {
  std::array<Pitch, part_count> voices;
  friend bool operator==(const FourPartVoicing&, const FourPartVoicing&) = default;
};

/// The rules that are kept wherever the chords allow it. Sources: Kostka & Payne; Aldwell & Schachter; Open Music
/// Theory; all from memory.
enum class PartRule : std::uint8_t {
  range,             ///< every voice within its PartRange
  crossing,          ///< no voice above its upper neighbour; a unison is no crossing
  spacing,           ///< soprano and alto, alto and tenor at most an octave apart
  parallel_fifths,   ///< no two voices that both move sound a perfect fifth (or twelfth) in both chords
  parallel_octaves,  ///< the same for octaves and unisons
  leading_tone,      ///< see below
  chordal_seventh,  ///< before another root seventh and flat ninth stay or fall by one or two semitones in their voices
  doubling,         ///< neither the leading tone nor the seventh nor a flat ninth twice
  complete,         ///< root, third, seventh and what else names the chord; the fifth unless the root is in the bass
};
/// "parallel fifths", "leading tone" ...
[[nodiscard]] std::string_view to_string(PartRule rule);

// The leading tone is the semitone below the tonic in any chord but one that has it for a root with a perfect fifth
// (the B of B7 in C major), and the third of an applied dominant or the root of an applied diminished chord before the
// chord they lead to. It rises a semitone where V or viio goes to I, V to VI, or an applied chord to its goal. In an
// inner voice it may fall to the goal's fifth instead, in V to vi to the new root, at a cost; there also in the bass,
// which then walks down by step. It may stay where the next chord has it too. Fifths that follow each other in contrary
// motion count as parallel, like octaves: the strict reading. Fifths and octaves are judged by sound, so a diminished
// sixth is a fifth.

/// A rule that could not be kept.
struct BrokenRule {
  PartRule rule{};
  std::size_t chord = 0;  ///< index of the chord; for a rule between two chords that of the second
  std::string text;       ///< a sentence for a teacher
};

/// A progression written out for four voices.
struct FourPart {
  std::vector<FourPartVoicing> chords;   ///< one per chord
  std::vector<BrokenRule> broken_rules;  ///< in the order of the chords; empty if all rules are kept
  /// The cost that the search minimised: 2^32 for each entry of broken_rules, and small amounts for matters of style.
  std::int64_t cost = 0;
};

/// Writes chords for four voices. The bass sings the chord's bass. Of all voicings of each chord those that break the
/// fewest rules by themselves are taken, and among these the path with the fewest faults between chords is found
/// exactly (dynamic programming), then the one with the smoothest inner voices, contrary outer voices and the usual
/// doublings. There is an answer for every chord and every range.
///
/// Chords of more than four tones keep root, third, seventh and the highest extension (for an eleventh over a major
/// third, which replaces it: root, seventh, ninth, eleventh). Over a bass outside the chord the upper voices
/// sing a triad whole, of a seventh chord third, seventh and root, of a larger one third, seventh and extension.
/// @param keys one per chord; the last one holds for what follows it, C major where there is none.
[[nodiscard]] FourPart write_four_parts(std::span<const Chord> chords, std::span<const Key> keys,
                                        const PartRanges& ranges = choir_ranges);

}  // namespace romanesca
