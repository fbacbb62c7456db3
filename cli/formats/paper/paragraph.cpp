#include "cli/formats/paper/paragraph.h"

#include <algorithm>

#include "cli/formats/paper/text_size.h"

namespace romanesca {

std::vector<std::string> lines_within(const std::string& text, double width, double size, Weight weight) {
  std::vector<std::string> lines;
  std::string line;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t end = std::min(text.find(' ', at), text.size());
    const std::string word = text.substr(at, end - at);
    const std::string longer = line.empty() ? word : line + " " + word;
    if (!line.empty() && text_width(longer, size, weight) > width) {
      lines.push_back(std::move(line));
      line = word;
    } else {
      line = longer;
    }
    at = end + 1;
  }
  if (!line.empty()) lines.push_back(std::move(line));
  return lines;
}

}  // namespace romanesca
