#pragma once

#include <array>
#include <compare>
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

#include "theory/notes/interval.h"

namespace romanesca {

/// A spelled note name without octave: a place on the line of fifths ... F C G D A E B F# C# ... with C at 0.
/// F sharp (6) and G flat (-6) are different values that sound alike.
class PitchClass {
 public:
  constexpr PitchClass() noexcept = default;
  constexpr explicit PitchClass(int fifths) noexcept : fifths_(fifths) {}
  /// @param letter 0 to 6 for C D E F G A B @param alteration sharps (positive) or flats (negative).
  static constexpr PitchClass of(int letter, int alteration) noexcept {
    constexpr std::array<int, 7> natural{0, 2, 4, -1, 1, 3, 5};
    return PitchClass(natural[static_cast<std::size_t>(letter)] + 7 * alteration);
  }

  [[nodiscard]] constexpr int fifths() const noexcept { return fifths_; }
  /// 0 to 6 for C D E F G A B.
  [[nodiscard]] constexpr int letter() const noexcept { return ((fifths_ * 4) % 7 + 7) % 7; }
  /// Sharps (positive) or flats (negative).
  [[nodiscard]] constexpr int alteration() const noexcept {
    return fifths_ + 1 >= 0 ? (fifths_ + 1) / 7 : -((-fifths_ - 1 + 6) / 7);
  }
  /// The sounding class, 0 (C) to 11 (B): what the keyboard knows.
  [[nodiscard]] constexpr int semitone() const noexcept { return ((fifths_ * 7) % 12 + 12) % 12; }
  [[nodiscard]] constexpr bool sounds_like(PitchClass other) const noexcept { return semitone() == other.semitone(); }

  friend constexpr PitchClass operator+(PitchClass a, Interval b) noexcept {
    return PitchClass(a.fifths_ + b.fifths());
  }
  friend constexpr PitchClass operator-(PitchClass a, Interval b) noexcept {
    return PitchClass(a.fifths_ - b.fifths());
  }
  /// The smallest rising interval from @p b to @p a, spelled.
  friend constexpr Interval operator-(PitchClass a, PitchClass b) noexcept {
    return Interval::simple(a.fifths_ - b.fifths_);
  }
  friend constexpr bool operator==(PitchClass, PitchClass) noexcept = default;

 private:
  int fifths_ = 0;
};

/// A spelled note in an octave: C4 is middle C, B#3 sounds like it.
class Pitch {
 public:
  constexpr Pitch() noexcept = default;
  /// @param octave the written octave, that of the letter: Cb4 is a semitone below C4.
  constexpr Pitch(PitchClass name, int octave) noexcept : name_(name), octave_(octave) {}

  [[nodiscard]] constexpr PitchClass name() const noexcept { return name_; }
  [[nodiscard]] constexpr int octave() const noexcept { return octave_; }
  /// MIDI note number: 60 for C4. May lie outside 0 to 127 for extreme octaves.
  [[nodiscard]] constexpr int midi() const noexcept {
    constexpr std::array<int, 7> natural{0, 2, 4, 5, 7, 9, 11};
    return 12 * (octave_ + 1) + natural[static_cast<std::size_t>(name_.letter())] + name_.alteration();
  }

  friend constexpr Pitch operator+(Pitch a, Interval b) noexcept {
    const int letters = a.name_.letter() + 7 * a.octave_ + b.letters();
    const int octave = letters >= 0 ? letters / 7 : -((-letters + 6) / 7);
    return {a.name_ + b, octave};
  }
  friend constexpr Pitch operator-(Pitch a, Interval b) noexcept { return a + (-b); }
  friend constexpr Interval operator-(Pitch a, Pitch b) noexcept {
    const int fifths = a.name_.fifths() - b.name_.fifths();
    const int letters = a.name_.letter() - b.name_.letter() + 7 * (a.octave_ - b.octave_);
    return {fifths, (letters - 4 * fifths) / 7};
  }
  friend constexpr bool operator==(Pitch, Pitch) noexcept = default;

 private:
  PitchClass name_;
  int octave_ = 4;
};

/// The pitch of this name whose MIDI number is nearest to @p midi from above or at it: the first at or over the limit.
[[nodiscard]] Pitch lowest_at_or_above(PitchClass name, int midi) noexcept;

/// Equal temperament with A4 = 440 Hz (ISO 16:1975). @param midi may be fractional.
[[nodiscard]] double frequency_hz(double midi) noexcept;

/// Whether the key of a piano is black. @param midi 0 to 127
[[nodiscard]] constexpr bool is_black_key(int midi) noexcept {
  const int key = midi % 12;
  return key == 1 || key == 3 || key == 6 || key == 8 || key == 10;
}

/// ASCII: "Eb", "F#", "Bbb".
[[nodiscard]] std::string to_string(PitchClass name);
/// ASCII with the octave: "Eb4", "C-1".
[[nodiscard]] std::string to_string(Pitch pitch);

/// Reads a note name at the start of @p text: a capital letter, then up to three sharps or flats (# b, or x for a
/// double sharp). @return the name and how many bytes it took, or nothing.
struct PitchClassPrefix {
  PitchClass name;
  std::size_t length;
};
[[nodiscard]] std::optional<PitchClassPrefix> read_pitch_class(std::string_view text);

/// The whole of @p text as a note name, or nothing.
[[nodiscard]] std::optional<PitchClass> parse_pitch_class(std::string_view text);
/// "Eb4", or nothing. Octaves -1 to 9.
[[nodiscard]] std::optional<Pitch> parse_pitch(std::string_view text);

}  // namespace romanesca
