#pragma once

#include <cstdint>
#include <optional>
#include <string_view>

#include "theory/chords/key.h"
#include "theory/chords/numeral.h"

namespace romanesca {

/// What a chord does in its key (textbook categories: Kostka & Payne; Open Music Theory; from memory).
enum class Function : std::uint8_t { tonic, predominant, dominant, none };
[[nodiscard]] std::string_view to_string(Function function);

/// Where a chord comes from.
enum class Origin : std::uint8_t {
  diatonic,         ///< of the key; in minor with the raised sixth or seventh degree too
  applied,          ///< dominant of a degree that it goes to
  borrowed,         ///< of the parallel major or minor key, or another mode on the same tonic
  blues,            ///< a dominant seventh on I or IV
  chromatic_third,  ///< a major or minor triad a third from the tonic
  passing,          ///< a diminished or augmented chord between neighbours a step apart
  pedal,            ///< foreign, over a bass that stays while the chords change
  substitute,       ///< tritone substitute: a dominant seventh that falls a semitone
  related_two,      ///< the ii before a dominant of another chord than the tonic
  dominant,         ///< dominant of a foreign chord that it goes to
  tonicised,        ///< foreign, and its own dominant leads to it
  common_tone,      ///< diminished, keeping the root of a neighbour or a semitone from it
  altered,          ///< a chord of the key with altered or added tones
  line,             ///< one tone moves while the rest of the chord stays
  parallel,         ///< moved up or down by step as it is
  chromatic,        ///< none of these
};
[[nodiscard]] std::string_view to_string(Origin origin);

/// The chords around one.
struct ChordNeighbours {
  std::optional<Chord> before;            ///< the chord before on another root
  std::optional<Chord> next;              ///< the next chord on another root
  std::optional<Chord> after_next;        ///< and the one after it
  std::optional<Chord> same_root_before;  ///< the neighbours on the same root, if they are another chord
  std::optional<Chord> same_root_after;
};

/// A chord read in a key.
struct ChordReading {
  Numeral numeral;
  Function function = Function::none;
  Origin origin = Origin::diatonic;
};

/// Reads a chord in its key.
/// @param next the next different chord, which decides whether a dominant is applied; nothing at the end.
[[nodiscard]] ChordReading read_chord(const Chord& chord, const Key& key, const std::optional<Chord>& next,
                                      MinorDegrees style = MinorDegrees::from_major);

/// The same with all that stands around the chord, which explains more of what is foreign.
[[nodiscard]] ChordReading read_chord(const Chord& chord, const Key& key, const ChordNeighbours& around,
                                      MinorDegrees style = MinorDegrees::from_major);

/// The mode on the key's tonic that a borrowed chord comes from: the parallel key first, then the church modes by how
/// near they are; nothing where none has all its tones.
[[nodiscard]] std::optional<Mode> borrowed_from(const Chord& chord, const Key& key);

/// All tones lie in the key: its scale, or in minor also the raised sixth and seventh degrees over their own roots.
[[nodiscard]] bool is_diatonic(const Chord& chord, const Key& key);

}  // namespace romanesca
