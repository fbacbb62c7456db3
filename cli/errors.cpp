#include "cli/errors.h"

#include <fmt/format.h>

#include <algorithm>
#include <vector>

#include "theory/text/characters.h"

namespace romanesca {
namespace {

/// The line's code points, tabs as one blank so that the caret stands under its place.
std::vector<std::string> characters_of(const std::string& line) {
  std::vector<std::string> characters;
  for (const char c : line) {
    const bool continues = !begins_code_point(c);
    if (continues && !characters.empty()) {
      characters.back() += c;
    } else {
      characters.emplace_back(1, c == '\t' ? ' ' : c);
    }
  }
  return characters;
}

/// The text as a terminal can show it: control characters and invalid bytes become a replacement character, and very
/// long words are cut.
std::string readable(std::string_view text) {
  std::string shown;
  while (const auto bad = first_bad_byte(text)) {
    shown += std::string(text.substr(0, *bad)) + "\uFFFD";
    text.remove_prefix(*bad + 1);
  }
  shown += text;
  constexpr std::size_t longest = 200;
  constexpr std::size_t kept = 60;
  for (std::size_t from = 0; from < shown.size();) {
    const std::size_t to = std::min(shown.find(' ', from), shown.size());
    if (to - from > longest) {
      std::size_t cut = from + kept;
      while (!begins_code_point(shown[cut])) --cut;
      shown.replace(cut, to - cut, shown[to - 1] == '"' ? "...\"" : "...");
      from = cut;
    } else {
      from = to + 1;
    }
  }
  return shown;
}

}  // namespace

std::string describe(const TextError& given) {
  TextError error = given;
  error.source = readable(error.source);
  error.message = readable(error.message);
  error.hint = readable(error.hint);
  std::string text = "romanesca: ";
  if (!error.source.empty()) text += error.source + ":";
  if (error.place.line > 0) text += fmt::format("{}:{}:", error.place.line, error.place.column);
  if (!error.source.empty()) text += " ";
  text += error.message + "\n";
  if (error.line_text.empty() || error.place.line == 0) {
    return error.hint.empty() ? text : text + "    " + error.hint + "\n";
  }
  constexpr std::size_t shown = 72;
  const std::vector<std::string> all = characters_of(error.line_text);
  const std::size_t column = static_cast<std::size_t>(std::max(error.place.column, 1)) - 1;
  const std::size_t from = all.size() > shown && column > shown / 2 ? column - shown / 2 : 0;
  const std::size_t to = std::min(all.size(), from + shown);
  text += "    ";
  text += from > 0 ? "... " : "";
  for (std::size_t i = from; i < to; ++i) text += readable(all[i]);
  text += to < all.size() ? " ..." : "";
  const std::size_t width = std::clamp<std::size_t>(static_cast<std::size_t>(std::max(error.place.width, 1)), 1,
                                                    std::max<std::size_t>(to, column + 1) - column);
  text += fmt::format("\n    {}{}{}", std::string(column - from + (from > 0 ? 4 : 0), ' '), std::string(width, '^'),
                      error.hint.empty() ? "" : "   " + error.hint);
  return text + "\n";
}

}  // namespace romanesca
