#pragma once

#include <array>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "theory/chords/chord.h"

namespace romanesca {

/// Major, minor and the church modes. Minor is the key with its variable sixth and seventh degrees; its scale here is
/// the natural one (aeolian).
enum class Mode { major, minor, dorian, phrygian, lydian, mixolydian, locrian };
inline constexpr std::array all_modes{Mode::major,  Mode::minor,      Mode::dorian, Mode::phrygian,
                                      Mode::lydian, Mode::mixolydian, Mode::locrian};

/// "major", "minor", "dorian" ...
[[nodiscard]] std::string_view to_string(Mode mode);
/// Reads these names, also "maj", "min", "m", "ionian", "aeolian", in any case; nothing for anything else.
[[nodiscard]] std::optional<Mode> parse_mode(std::string_view text);
/// Mode with a minor third above the tonic.
[[nodiscard]] constexpr bool is_minorish(Mode mode) noexcept {
  return mode == Mode::minor || mode == Mode::dorian || mode == Mode::phrygian || mode == Mode::locrian;
}

/// A tonic and its mode.
struct Key {
  PitchClass tonic;
  Mode mode = Mode::major;

  /// Sharps (positive) or flats (negative) in the signature. A key that can be written has -7 to 7.
  [[nodiscard]] int signature() const noexcept;
  [[nodiscard]] bool can_be_written() const noexcept { return signature() >= -7 && signature() <= 7; }

  /// @param degree 1 to 7: the note of the natural scale.
  [[nodiscard]] PitchClass degree(int degree) const noexcept;
  [[nodiscard]] std::array<PitchClass, 7> scale() const noexcept;
  [[nodiscard]] bool contains(PitchClass name) const noexcept;
  /// The sounding classes of its scale as a bit set: bit 0 for C to bit 11 for B.
  [[nodiscard]] unsigned sounding_tones() const noexcept;

  /// The triad (3) or seventh chord (4) stacked in thirds from the natural scale on that degree, 1 to 7.
  [[nodiscard]] Chord diatonic_chord(int degree, int tones = 3) const;

  friend bool operator==(const Key&, const Key&) = default;
};

/// "Eb major", "F# minor", "D dorian".
[[nodiscard]] std::string to_string(const Key& key);

/// A key as a person types it. Without a word for the mode the mode stays open: "Eb" may be E flat major or minor.
struct KeyText {
  PitchClass tonic;
  std::optional<Mode> mode;
  friend bool operator==(const KeyText&, const KeyText&) = default;
};
/// Reads "Eb", "eb major", "E flat minor", "F-sharp dorian", "Am", "Cmin", "B♭". Nothing for any other text.
[[nodiscard]] std::optional<KeyText> parse_key(std::string_view text);

/// The 15 major and 15 minor keys that can be written, from seven flats to seven sharps, majors first.
[[nodiscard]] std::span<const Key> written_keys();

/// The key on the same piano key with the fewest accidentals: Ab major for G# major. A tie takes the flats.
[[nodiscard]] Key simplest_spelling(const Key& key);

}  // namespace romanesca
