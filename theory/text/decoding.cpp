#include "theory/text/decoding.h"

#include <algorithm>
#include <array>
#include <cstdint>

#include "theory/text/characters.h"

namespace romanesca {
namespace {

enum class ByteOrder { none, little, big };

/// That of UTF-16: by its mark, else by the zero bytes that Latin letters have in it.
ByteOrder byte_order(std::string_view bytes) {
  if (bytes.starts_with("\xFF\xFE")) return ByteOrder::little;
  if (bytes.starts_with("\xFE\xFF")) return ByteOrder::big;
  const std::size_t length = std::min<std::size_t>(bytes.size(), 1000) / 2 * 2;
  std::size_t even = 0, odd = 0;
  for (std::size_t i = 0; i < length; ++i) {
    if (bytes[i] == '\0') ++(i % 2 == 0 ? even : odd);
  }
  if (length < 4 || bytes.size() % 2 != 0) return ByteOrder::none;
  if (even == 0 && odd * 10 > length * 4) return ByteOrder::little;
  if (odd == 0 && even * 10 > length * 4) return ByteOrder::big;
  return ByteOrder::none;
}

std::string from_utf16(std::string_view bytes, ByteOrder order) {
  std::string text;
  const auto unit = [&](std::size_t i) {
    const auto first = static_cast<unsigned char>(bytes[i]);
    const auto second = static_cast<unsigned char>(bytes[i + 1]);
    return static_cast<std::uint32_t>(order == ByteOrder::little ? first | second << 8 : first << 8 | second);
  };
  for (std::size_t i = 0; i + 1 < bytes.size(); i += 2) {
    std::uint32_t code = unit(i);
    if (code == 0xFEFF && i == 0) continue;
    if (code >= 0xD800 && code < 0xDC00 && i + 3 < bytes.size()) {
      const std::uint32_t low = unit(i + 2);
      if (low >= 0xDC00 && low < 0xE000) {
        code = 0x10000 + ((code - 0xD800) << 10) + (low - 0xDC00);
        i += 2;
      }
    }
    const bool half = code >= 0xD800 && code < 0xE000;
    append_code_point(text, half ? 0xFFFD : code);
  }
  return text;
}

std::string from_windows_1252(std::string_view bytes) {
  // 0x80 to 0x9F; the rest is Latin-1. 0 where the code page has nothing.
  constexpr std::array<std::uint16_t, 32> upper{0x20AC, 0,      0x201A, 0x0192, 0x201E, 0x2026, 0x2020, 0x2021,
                                                0x02C6, 0x2030, 0x0160, 0x2039, 0x0152, 0,      0x017D, 0,
                                                0,      0x2018, 0x2019, 0x201C, 0x201D, 0x2022, 0x2013, 0x2014,
                                                0x02DC, 0x2122, 0x0161, 0x203A, 0x0153, 0,      0x017E, 0x0178};
  std::string text;
  for (const char c : bytes) {
    const auto byte = static_cast<unsigned char>(c);
    const std::uint32_t code = byte >= 0x80 && byte < 0xA0 ? upper[byte - 0x80U] : byte;
    append_code_point(text, code == 0 ? 0xFFFD : code);
  }
  return text;
}

/// Whether every line is clean UTF-8; both kinds of line ends, and page breaks, may stand between.
bool is_clean(std::string_view text) {
  while (!text.empty()) {
    const std::size_t end = std::min(text.find_first_of("\r\n\f"), text.size());
    if (first_bad_byte(text.substr(0, end))) return false;
    text.remove_prefix(std::min(end + 1, text.size()));
  }
  return true;
}

bool has_control_bytes(std::string_view bytes) {
  return std::any_of(bytes.begin(), bytes.end(), [](char c) {
    const auto byte = static_cast<unsigned char>(c);
    return (byte < 0x20 && c != '\t' && c != '\r' && c != '\n' && c != '\f') || byte == 0x7F;
  });
}

}  // namespace

DecodedText decode_text(std::string bytes) {
  if (is_clean(bytes)) return {std::move(bytes), {}};
  if (const ByteOrder order = byte_order(bytes); order != ByteOrder::none) {
    std::string text = from_utf16(bytes, order);
    if (is_clean(text)) return {std::move(text), "UTF-16"};
    return {std::move(bytes), {}};
  }
  if (has_control_bytes(bytes)) return {std::move(bytes), {}};
  // Of a text few letters are beyond ASCII; other bytes are those of a file of another kind.
  const auto beyond = std::count_if(bytes.begin(), bytes.end(), [](char c) { return static_cast<signed char>(c) < 0; });
  if (static_cast<std::size_t>(beyond) * 4 > bytes.size()) return {std::move(bytes), {}};
  return {from_windows_1252(bytes), "Windows-1252"};
}

}  // namespace romanesca
