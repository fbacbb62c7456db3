#pragma once

#include <cstdint>
#include <optional>

#include "theory/chords/chord.h"
#include "theory/chords/key.h"
#include "theory/notes/short_list.h"

namespace romanesca {

/// A scale degree as written: "bVI", "#iv", "7". What note it is depends on the key.
struct ScaleDegree {
  std::int8_t number = 1;      ///< 1 to 7
  std::int8_t accidental = 0;  ///< sharps (positive) or flats (negative) written before it
  bool upper = true;           ///< upper case, or a number without a word for minor
  constexpr ScaleDegree() noexcept = default;
  constexpr ScaleDegree(int degree, int sharps, bool upper_case) noexcept
      : number(static_cast<std::int8_t>(degree)), accidental(static_cast<std::int8_t>(sharps)), upper(upper_case) {}
  friend bool operator==(const ScaleDegree&, const ScaleDegree&) = default;
};

/// Chords with a name of their own instead of a degree (Kostka & Payne; Aldwell & Schachter; from memory).
enum class NamedChord : std::uint8_t {
  none,
  neapolitan,    ///< N: major triad on the lowered second degree
  italian,       ///< It: augmented sixth on the lowered sixth degree, three notes
  french,        ///< Fr: the same with the second degree
  german,        ///< Ger: the same with the lowered third degree
  cadential_64,  ///< Cad64: the tonic triad over the dominant's bass
};

/// A tone that brackets after a numeral add or leave out: "[add9]", "[add#6]", "[no3]".
struct ToneChange {
  bool adds = true;
  std::int8_t number = 1;      ///< 1 to 13, counted from the chord's root
  std::int8_t accidental = 0;  ///< of an added tone, on top of what the key's scale has there
  friend bool operator==(const ToneChange&, const ToneChange&) = default;
};

/// A Roman numeral or a number: a chord relative to a key that is given later.
///
/// "7" after a numeral is the chord symbol's 7 (I7 has a minor seventh, Imaj7 a major one), as in songbooks and blues,
/// not the seventh of the key. Tones in square brackets are those of the key's scale, as analysts write them: V[add9]
/// has a minor ninth in a minor key; Vadd9 has a major one, as the chord symbol would.
struct Numeral {
  ScaleDegree root;
  ChordType type = chord_types::major;
  std::int8_t inversion = 0;             ///< which of the chord's tones is in the bass, 0 for the root
  std::optional<ScaleDegree> bass;       ///< a bass named by its degree instead: "5/7", "IV/5"
  ShortList<ScaleDegree, 4> applied_to;  ///< V/V/ii holds V, ii
  NamedChord named = NamedChord::none;
  ShortList<ToneChange, 8> changes;  ///< in brackets, in order; the inversion counts the tones before them
  bool as_number = false;            ///< written 4 and not IV
  friend bool operator==(const Numeral&, const Numeral&) = default;
};

/// The note of a degree. In minor, III VI VII and their triads' roots are those of the natural scale, and bIII bVI bVII
/// mean the same; vi, vii and viio are on the raised degrees, and so do #vi and #vii. The church modes read degrees
/// from their own scale, with the same rule for an accidental that the mode has anyway.
[[nodiscard]] PitchClass note_of(const ScaleDegree& degree, const Key& key);

/// The chord that the numeral means in the key.
[[nodiscard]] Chord realise(const Numeral& numeral, const Key& key);

/// How a degree that the minor scale lowers is written. Both ways are read.
enum class MinorDegrees {
  from_major,    ///< bIII bVI bVII: the same sign for the same distance from the tonic in every mode
  from_natural,  ///< III VI VII
};

/// The numeral of a chord in a key, without regard to function: D7 in C is II7. realise(numeral_of(c, k), k) sounds
/// like c.
[[nodiscard]] Numeral numeral_of(const Chord& chord, const Key& key, MinorDegrees style = MinorDegrees::from_major);

/// The chord seen as applied to a degree: D7 to V in C is V7/V.
[[nodiscard]] Numeral numeral_applied(const Chord& chord, const Key& key, const ScaleDegree& target);

}  // namespace romanesca
