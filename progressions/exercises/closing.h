#pragma once

#include <optional>
#include <string_view>
#include <vector>

#include "theory/analysis/cadence.h"

namespace romanesca {

/// Cadences in words for a student, with their article: "a perfect cadence", as everywhere (cadence_term).
[[nodiscard]] std::string_view close_name(CadenceKind kind, CadenceTerms terms);

/// What happens in it: "the fifth chord goes home and all is said".
[[nodiscard]] std::string_view close_meaning(CadenceKind kind);

/// How chords of one bar each end in a key; nothing where they end in no cadence.
[[nodiscard]] std::optional<CadenceKind> ending_of(const std::vector<Chord>& chords, const Key& key);

/// Whether two chords sound alike, letters apart: the same tones over the same bass.
[[nodiscard]] bool sound_alike(const Chord& a, const Chord& b);

/// Whether the note is one of the chord's own tones, letters apart.
[[nodiscard]] bool holds(const Chord& chord, PitchClass note);

/// Whether a note that is not the chord's own rubs against it: a semitone above one of its tones, which is heard as a
/// minor ninth (Levine, "The Jazz Theory Book", 1995, calls it an avoid note; from memory), or another form of a letter
/// that the chord has, like C over A7 with its C sharp (a false relation; harmony textbooks, from memory).
[[nodiscard]] bool clashes(const Chord& chord, PitchClass note);

/// How often the bass moves by one or two semitones from a chord to the next.
[[nodiscard]] int bass_steps(const std::vector<Chord>& chords);

}  // namespace romanesca
