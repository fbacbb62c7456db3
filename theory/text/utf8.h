#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace romanesca {

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

/// Writes a Unicode scalar value as UTF-8 (RFC 3629).
void append_code_point(std::string& text, std::uint32_t code);

/// The first byte that is not UTF-8 (RFC 3629) or is a control character other than tab; nothing if the text is clean.
[[nodiscard]] std::optional<std::size_t> first_bad_byte(std::string_view text) noexcept;

}  // namespace romanesca
