#include "theory/text/nearest_word.h"

#include <algorithm>
#include <vector>

#include "theory/text/characters.h"

namespace romanesca {
int edit_distance(std::string_view a, std::string_view b) {
  const std::size_t width = b.size() + 1;
  std::vector<int> before_last(width), last(width), row(width);
  for (std::size_t j = 0; j < width; ++j) last[j] = static_cast<int>(j);
  for (std::size_t i = 1; i <= a.size(); ++i) {
    row[0] = static_cast<int>(i);
    for (std::size_t j = 1; j < width; ++j) {
      const int replaced = last[j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1);
      row[j] = std::min({replaced, last[j] + 1, row[j - 1] + 1});
      const bool swapped = i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1];
      if (swapped) row[j] = std::min(row[j], before_last[j - 2] + 1);
    }
    std::swap(before_last, last);
    std::swap(last, row);
  }
  return last.back();
}

std::optional<std::string> nearest_word(std::string_view text, std::span<const std::string> words) {
  constexpr std::size_t longest = 64;  // bytes; longer texts have no nearest word, which keeps the table small
  if (text.size() > longest) return std::nullopt;
  const std::string wanted = small_letters(text);
  std::optional<std::string> best;
  int fewest = 4;
  for (const std::string& word : words) {
    const int distance = edit_distance(wanted, small_letters(word));
    if (distance >= fewest || 2 * distance >= static_cast<int>(std::max(word.size(), text.size()))) continue;
    fewest = distance;
    best = word;
  }
  return best;
}

std::string plain_name(std::string_view name) {
  std::string plain;
  for (const char c : name) {
    if (c != ' ' && c != '-' && c != '_') plain += small_letter(c);
  }
  return plain;
}

}  // namespace romanesca
