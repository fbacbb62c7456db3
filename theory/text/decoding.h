#pragma once

#include <string>
#include <string_view>

namespace romanesca {

/// The text of a file in UTF-8, however the computer wrote it.
struct DecodedText {
  std::string text;
  std::string from;  ///< "UTF-16", "Windows-1252"; empty where it was UTF-8 already
};

/// Reads UTF-8, UTF-16 with a byte-order mark or without (RFC 2781), and else Windows-1252 (the Encoding Standard of
/// WHATWG, index windows-1252), which includes Latin-1. Bytes that are no text in any of them, as of pictures and
/// sound, are given back unchanged.
[[nodiscard]] DecodedText decode_text(std::string bytes);

}  // namespace romanesca
