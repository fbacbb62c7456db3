#include "cli/formats/wrapped_text.h"

#include <algorithm>

#include "theory/text/characters.h"

namespace romanesca {

std::string wrapped(std::string_view first, std::string_view text, int width) {
  const std::size_t indent = code_points(first);
  const auto limit = static_cast<std::size_t>(std::max(width, 20));
  std::string result(first);
  std::size_t column = indent;
  while (!text.empty()) {
    const std::size_t end = std::min(text.find(' '), text.size());
    const std::string_view word = text.substr(0, end);
    const std::size_t length = code_points(word);
    if (column > indent && column + 1 + length > limit) {
      result += "\n" + std::string(indent, ' ');
      column = indent;
    } else if (column > indent) {
      result += ' ';
      ++column;
    }
    result += word;
    column += length;
    text.remove_prefix(std::min(end + 1, text.size()));
  }
  return result + "\n";
}

std::string padded(const std::string& text, std::size_t width) {
  const std::size_t length = code_points(text);
  return text + std::string(width > length ? width - length : 0, ' ');
}

}  // namespace romanesca
