#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <string_view>

namespace romanesca {

/// What is heard of a chord above its root.
enum class ChordQuality : std::uint8_t {
  major,
  minor,
  dominant_seventh,
  major_seventh,
  minor_seventh,
  diminished,
  suspended_fourth
};
inline constexpr std::size_t chord_qualities = 7;
/// The words for them in chord_successions.txt, in their order.
inline constexpr std::array<std::string_view, chord_qualities> chord_quality_words{"maj",  "min", "7",   "maj7",
                                                                                   "min7", "dim", "sus4"};
/// Their tones in semitones above the root; the first three of four, or all three.
inline constexpr std::array<std::array<int, 4>, chord_qualities> chord_quality_tones{
    {{0, 4, 7, -1}, {0, 3, 7, -1}, {0, 4, 7, 10}, {0, 4, 7, 11}, {0, 3, 7, 10}, {0, 3, 6, -1}, {0, 5, 7, -1}}};

/// The chords that can be heard are numbered: seven on each of twelve roots (C is 0), and one number for "no chord".
inline constexpr std::size_t chord_classes = 12 * chord_qualities + 1;
inline constexpr std::size_t no_chord_class = chord_classes - 1;

[[nodiscard]] constexpr std::size_t chord_class(int root, ChordQuality quality) noexcept {
  return static_cast<std::size_t>((root % 12 + 12) % 12) * chord_qualities + static_cast<std::size_t>(quality);
}
/// @param chord below no_chord_class @return 0 (C) to 11
[[nodiscard]] constexpr int root_of(std::size_t chord) noexcept { return static_cast<int>(chord / chord_qualities); }
[[nodiscard]] constexpr ChordQuality quality_of(std::size_t chord) noexcept {
  return static_cast<ChordQuality>(chord % chord_qualities);
}
/// The class as many semitones higher; "no chord" stays.
[[nodiscard]] constexpr std::size_t moved_class(std::size_t chord, int semitones) noexcept {
  return chord == no_chord_class ? chord : chord_class(root_of(chord) + semitones, quality_of(chord));
}
/// Root and third, which is what most people mean by "the right chord": 0 to 23, majors first; 24 to 35 for chords
/// without either third or fifth of a triad (diminished and suspended), 36 for no chord.
[[nodiscard]] constexpr std::size_t triad_family(std::size_t chord) noexcept {
  if (chord == no_chord_class) return 36;
  const auto root = static_cast<std::size_t>(root_of(chord));
  switch (quality_of(chord)) {
    case ChordQuality::minor:
    case ChordQuality::minor_seventh:
      return 12 + root;
    case ChordQuality::diminished:
    case ChordQuality::suspended_fourth:
      return 24 + root;
    default:
      return root;
  }
}

}  // namespace romanesca
