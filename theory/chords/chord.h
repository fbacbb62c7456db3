#pragma once

#include <bit>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

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
  [[nodiscard]] std::vector<PitchClass> tones() const;

  /// 0 root position, 1 third in the bass, 2 fifth, 3 seventh and so on; nothing for a bass outside the chord.
  [[nodiscard]] std::optional<int> inversion() const;

  /// The sounding classes of its own tones as a bit set: bit 0 for C to bit 11 for B. A foreign bass is not among them.
  [[nodiscard]] constexpr unsigned sounding_tones() const noexcept {
    unsigned tones = 0;
    for (std::uint32_t rest = type.mask(); rest != 0; rest &= rest - 1) {
      const int place = std::countr_zero(rest) - 12;
      tones |= 1U << PitchClass(root.fifths() + place).semitone();
    }
    return tones;
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
