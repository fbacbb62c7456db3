#pragma once

#include <array>
#include <cstddef>
#include <cstdint>

namespace romanesca {

// How wide letters are, for who lays out text without fonts: taken from the fonts when the program is built.

inline constexpr int width_units = 1000;       ///< to the em
inline constexpr std::size_t width_faces = 4;  ///< in the order of Face

// The characters: Latin letters from the space to U+017F, then punctuation from U+2010 to U+2033.
inline constexpr char32_t first_letter = 0x20, last_letter = 0x17F, first_mark = 0x2010, last_mark = 0x2033;
inline constexpr std::size_t letter_count = last_letter - first_letter + 1;
inline constexpr std::size_t width_characters = letter_count + last_mark - first_mark + 1;

[[nodiscard]] constexpr char32_t width_character(std::size_t place) noexcept {
  return place < letter_count ? first_letter + static_cast<char32_t>(place)
                              : first_mark + static_cast<char32_t>(place - letter_count);
}
/// The place of a character in the table, or width_characters for one that is not there.
[[nodiscard]] constexpr std::size_t width_place(char32_t character) noexcept {
  if (character >= first_letter && character <= last_letter) return character - first_letter;
  if (character >= first_mark && character <= last_mark) return letter_count + (character - first_mark);
  return width_characters;
}

/// 0 for a character that the face lacks.
extern const std::array<std::array<std::uint16_t, width_characters>, width_faces> text_widths;

}  // namespace romanesca
