#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "theory/chords/chord_type.h"

namespace romanesca {

/// Reads the part of a chord symbol after the root's name: "", "m7", "maj9(#11)", "7sus4", "-7b5", "6/9", "m(maj7)",
/// "add9", "(no3)".
/// @return the chord type, or nothing if any of the text is left over or means nothing.
///
/// Ambiguous forms are read the common way (common practice, no source): M, maj, ma, j mean a major seventh before a
/// number; a lone triangle is a major seventh chord; o7 is fully diminished; 0 and o with a stroke are half-diminished;
/// + before 7, 9, 11 or 13 raises the fifth, after a seventh it raises the number that follows (7+9 is 7#9); - straight
/// after the root is minor, after a number it lowers the next one (m7-5); 2 alone adds a ninth, 4 alone suspends the
/// fourth; sus is sus4.
[[nodiscard]] std::optional<ChordType> parse_chord_suffix(std::string_view text);

/// The one spelling that is printed for a type; parse_chord_suffix reads it back to the same type.
[[nodiscard]] std::string write_chord_suffix(ChordType type);

/// The modifiers that turn one type into another when they follow its suffix in brackets: "b5", "addb9", "no3". @return
/// nothing where modifiers alone cannot.
[[nodiscard]] std::optional<std::vector<std::string>> modifiers_between(ChordType from, ChordType target);

}  // namespace romanesca
