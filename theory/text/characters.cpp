#include "theory/text/characters.h"

namespace romanesca {

void append_code_point(std::string& text, std::uint32_t code) {
  const auto put = [&](std::uint32_t byte) { text += static_cast<char>(byte); };
  const auto put_rest = [&](int shift) {
    for (; shift >= 0; shift -= 6) put(0x80U | (code >> static_cast<unsigned>(shift) & 0x3FU));
  };
  if (code < 0x80) {
    put(code);
  } else if (code < 0x800) {
    put(0xC0U | code >> 6U);
    put_rest(0);
  } else if (code < 0x10000) {
    put(0xE0U | code >> 12U);
    put_rest(6);
  } else {
    put(0xF0U | code >> 18U);
    put_rest(12);
  }
}

char32_t read_code_point(std::string_view text, std::size_t& at) noexcept {
  const auto byte = [&](std::size_t i) { return i < text.size() ? static_cast<unsigned char>(text[i]) : 0U; };
  const unsigned first = byte(at++);
  const int more = first < 0x80 ? 0 : first >= 0xF0 ? 3 : first >= 0xE0 ? 2 : first >= 0xC0 ? 1 : -1;
  if (more < 0) return U'\uFFFD';
  char32_t character = more == 0 ? first : first & (0x3FU >> static_cast<unsigned>(more));
  for (int i = 0; i < more; ++i) {
    if ((byte(at) & 0xC0U) != 0x80U) return U'\uFFFD';
    character = character << 6U | (byte(at++) & 0x3FU);
  }
  return character;
}

std::optional<std::size_t> first_bad_byte(std::string_view text) noexcept {
  const auto byte = [&](std::size_t i) { return static_cast<std::uint8_t>(text[i]); };
  for (std::size_t i = 0; i < text.size();) {
    const std::uint8_t lead = byte(i);
    if (lead < 0x80) {
      if ((lead < 0x20 && lead != '\t') || lead == 0x7F) return i;
      ++i;
      continue;
    }
    const std::size_t more = lead >= 0xF0 ? 3 : lead >= 0xE0 ? 2 : 1;
    if (lead < 0xC2 || lead > 0xF4 || i + more >= text.size()) return i;
    for (std::size_t k = 1; k <= more; ++k) {
      if ((byte(i + k) & 0xC0U) != 0x80U) return i;
    }
    // Overlong forms, surrogates, and what lies beyond Unicode.
    const std::uint8_t second = byte(i + 1);
    if ((lead == 0xE0 && second < 0xA0) || (lead == 0xED && second > 0x9F) || (lead == 0xF0 && second < 0x90) ||
        (lead == 0xF4 && second > 0x8F)) {
      return i;
    }
    i += more + 1;
  }
  return std::nullopt;
}

}  // namespace romanesca
