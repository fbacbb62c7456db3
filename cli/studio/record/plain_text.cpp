#include "cli/studio/record/plain_text.h"

#include <fmt/format.h>

#include <algorithm>

#include "theory/songs/header_text.h"
#include "theory/text/characters.h"

namespace romanesca {
namespace {

/// Whether the text, which is UTF-8, holds a character that would act instead of being read.
bool has_hidden_control(std::string_view text) {
  for (std::size_t i = 0; i + 1 < text.size(); ++i) {
    const auto byte = [&](std::size_t k) { return static_cast<unsigned char>(text[k]); };
    if (byte(i) == 0xC2 && byte(i + 1) < 0xA0) return true;  // U+0080 to U+009F
    if (i + 2 >= text.size() || byte(i) != 0xE2) continue;
    const unsigned last = byte(i + 2);
    if (byte(i + 1) == 0x80 && last >= 0xA8 && last <= 0xAE) return true;  // U+2028 to U+202E
    if (byte(i + 1) == 0x81 && last >= 0xA6 && last <= 0xA9) return true;  // U+2066 to U+2069
  }
  return false;
}

}  // namespace

std::optional<std::string> text_fault(std::string_view text, std::size_t longest) {
  if (first_bad_byte(text) || text.find('\t') != std::string_view::npos || has_hidden_control(text)) {
    return "holds a character that cannot be read (a tab, a line break, a control character, or no UTF-8)";
  }
  if (code_points(text) > longest) return fmt::format("is longer than {} characters", longest);
  if (trimmed(text) != text) return "begins or ends with a blank";
  return std::nullopt;
}

std::optional<std::string> name_fault(std::string_view name) {
  if (trimmed(name).empty()) return "is empty";
  if (std::all_of(name.begin(), name.end(), &is_digit)) {
    return "is a number, which would be taken for an id";
  }
  if (name.starts_with('-')) return "begins with a dash, which would be taken for an option";
  return text_fault(name, 100);
}

std::vector<std::string> comma_list(std::string_view text) {
  std::vector<std::string> parts;
  while (true) {
    const std::size_t comma = text.find(',');
    std::string part(trimmed(text.substr(0, comma)));
    if (!part.empty() && std::find(parts.begin(), parts.end(), part) == parts.end()) parts.push_back(std::move(part));
    if (comma == std::string_view::npos) return parts;
    text.remove_prefix(comma + 1);
  }
}

std::optional<Key> read_key(std::string_view text) {
  const auto read = parse_written_key(text);
  if (!read) return std::nullopt;
  const Key key{read->tonic, read->mode.value_or(Mode::major)};
  return key.can_be_written() ? std::optional(key) : std::nullopt;
}

}  // namespace romanesca
