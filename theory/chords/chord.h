#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "theory/chords/chord_type.h"
#include "theory/notes/pitch.h"

namespace romanesca {

/// A chord with its letters: root, type and the note in the bass.
struct Chord {
  PitchClass root;
  ChordType type = chord_types::major;
  PitchClass bass;  ///< equal to root in root position; need not be a chord tone

  [[nodiscard]] static Chord on(PitchClass root, ChordType type) { return {root, type, root}; }

  /// The chord's own tones from the root up, as ChordType::tones orders them. A foreign bass is not among them.
  [[nodiscard]] ShortList<PitchClass, most_tones> tones() const noexcept;

  /// 0 root position, 1 third in the bass, 2 fifth, 3 seventh and so on; nothing for a bass outside the chord.
  [[nodiscard]] std::optional<int> inversion() const noexcept;

  /// The sounding classes of its own tones as a bit set: bit 0 for C to bit 11 for B. A foreign bass is not among them.
  [[nodiscard]] constexpr unsigned sounding_tones() const noexcept {
    // The mask wound round the circle of fifths, from the root on. A fifth is seven semitones, and 7n is n for even n
    // and n + 6 for odd n (modulo 12): every other place changes sides.
    const std::uint32_t mask = type.mask();
    const unsigned wound = (mask | mask >> 12U | mask >> 24U) & 0xFFFU;
    const auto turn = static_cast<unsigned>((root.fifths() % 12 + 12) % 12);
    const unsigned fifths = wound << turn | wound >> (12U - turn);
    const unsigned odd = fifths & 0xAAAU;
    return (fifths & 0x555U) | ((odd << 6U | odd >> 6U) & 0xAAAU);
  }

  friend bool operator==(const Chord&, const Chord&) = default;
};

[[nodiscard]] inline Chord operator+(const Chord& chord, Interval by) {
  return {chord.root + by, chord.type, chord.bass + by};
}

/// "Am7", "C/E", "F#m7b5": the one canonical spelling, ASCII.
[[nodiscard]] std::string to_string(const Chord& chord);

/// Reads a chord symbol in ASCII, or with the signs for flat, sharp, degree, stroke and triangle (UTF-8).
/// @return nothing if the text is no chord. parse_chord(to_string(c)) == c.
[[nodiscard]] std::optional<Chord> parse_chord(std::string_view text);

}  // namespace romanesca
