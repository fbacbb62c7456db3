#pragma once

#include <optional>

#include "theory/analysis/harmonic_function.h"

namespace romanesca {

/// What the vocabulary of jazz and of songs from shows says of a chord that is foreign to its key (Open Music Theory,
/// chapters on jazz: "ii-V-I", "Embellishing chords", "Substitutions"; the rest common practice).
struct ChromaticReading {
  Origin origin = Origin::chromatic;
  /// The degree that a substitute or a related ii leads to; nothing where that is the tonic or foreign itself.
  std::optional<ScaleDegree> target;
};

/// Explains a foreign chord by its neighbours, or nothing: a dominant of any chord, a tritone substitute, the ii before
/// a dominant, a chord that its own dominant leads to, an altered dominant, a common-tone diminished chord, a line
/// within one chord, parallel chords.
[[nodiscard]] std::optional<ChromaticReading> explain_foreign_chord(const Chord& chord, const Key& key,
                                                                    const ChordNeighbours& around);

/// Whether one tone moves, or comes or goes, between two chords on one root: C C+ C6 C7, Am Am(maj7) Am7 Am6.
[[nodiscard]] bool is_line_of(const Chord& chord, const std::optional<Chord>& other);

/// The ii (minor or half-diminished seventh) before a dominant that leads to a degree of the key other than the tonic:
/// which degree. Gm7 before C7 and F in C is ii7/IV.
[[nodiscard]] std::optional<ScaleDegree> target_of_related_two(const Chord& chord, const Key& key,
                                                               const ChordNeighbours& around);

}  // namespace romanesca
