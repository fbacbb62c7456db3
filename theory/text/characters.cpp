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
