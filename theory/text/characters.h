#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace romanesca {

// Letters, digits and blanks of ASCII, the same in every locale. The bytes of other characters in UTF-8 count
// as neither.

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

/// Whether two characters are equal, ignoring the case of letters.
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

// Characters beyond ASCII, as UTF-8.

/// Whether a code point of UTF-8 begins with this byte (RFC 3629, section 3); the others go on with one.
[[nodiscard]] constexpr bool begins_code_point(char byte) noexcept {
  return (static_cast<unsigned char>(byte) & 0xC0U) != 0x80U;
}

/// How many characters a reader sees in UTF-8 text: code points, combining marks counted.
[[nodiscard]] inline std::size_t code_points(std::string_view text) noexcept {
  std::size_t count = 0;
  for (const char c : text) count += begins_code_point(c) ? 1 : 0;
  return count;
}

/// Reads the code point that begins there and goes behind it; U+FFFD for a byte that begins none, or that lacks its
/// others. @param at below the text's size
[[nodiscard]] char32_t read_code_point(std::string_view text, std::size_t& at) noexcept;

/// Writes a Unicode scalar value as UTF-8 (RFC 3629).
void append_code_point(std::string& text, std::uint32_t code);

/// The first byte that is not UTF-8 (RFC 3629) or is a control character other than tab; nothing if the text is clean.
[[nodiscard]] std::optional<std::size_t> first_bad_byte(std::string_view text) noexcept;

}  // namespace romanesca
