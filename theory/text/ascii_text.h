#pragma once

#include <string>
#include <string_view>

namespace romanesca {

// Letters, digits and blanks of ASCII, the same in every locale. The bytes of other characters of UTF-8 are none of
// them.

[[nodiscard]] constexpr bool is_digit(char c) noexcept { return c >= '0' && c <= '9'; }
[[nodiscard]] constexpr bool is_small_letter(char c) noexcept { return c >= 'a' && c <= 'z'; }
[[nodiscard]] constexpr bool is_capital(char c) noexcept { return c >= 'A' && c <= 'Z'; }
[[nodiscard]] constexpr bool is_letter(char c) noexcept { return is_small_letter(c) || is_capital(c); }

/// The small letter of a capital; any other character as it is.
[[nodiscard]] constexpr char small_letter(char c) noexcept {
  return is_capital(c) ? static_cast<char>(c - 'A' + 'a') : c;
}

/// The capital of a small letter; any other character as it is.
[[nodiscard]] constexpr char capital(char c) noexcept {
  return is_small_letter(c) ? static_cast<char>(c - 'a' + 'A') : c;
}

/// Whether two characters are the same letter, whatever their case, or the same character.
[[nodiscard]] constexpr bool same_letter(char a, char b) noexcept { return small_letter(a) == small_letter(b); }

/// The text in small letters.
[[nodiscard]] inline std::string small_letters(std::string_view text) {
  std::string result(text);
  for (char& c : result) c = small_letter(c);
  return result;
}

/// The text without the spaces, tabs and carriage returns around it.
[[nodiscard]] constexpr std::string_view trimmed(std::string_view text) noexcept {
  constexpr std::string_view blanks = " \t\r";
  const std::size_t first = text.find_first_not_of(blanks);
  if (first == std::string_view::npos) return {};
  return text.substr(first, text.find_last_not_of(blanks) - first + 1);
}

}  // namespace romanesca
