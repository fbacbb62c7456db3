#include "cli/formats/paper/text_layout.h"

#include <algorithm>
#include <map>
#include <tuple>
#include <utility>

#include "cli/formats/paper/pango_text.h"

namespace romanesca {
namespace {

// Of the em; measured for capitals and figures with accidentals, which is all that charts hold, with room to spare.
constexpr double ascent = 0.80;
constexpr double descent = 0.24;

}  // namespace

double text_width(const std::string& text, double size, Weight weight) {
  // Widths scale: each text is measured once at a large size. A chart repeats a few dozen words.
  constexpr double measured_size = 100;
  static std::map<std::pair<std::string, Weight>, double> known;
  const auto [found, is_new] = known.try_emplace({text, weight}, 0.0);
  if (is_new) found->second = PangoText::shared().width(text, measured_size, weight) / measured_size;
  return found->second * size;
}

TextMark text_at(double x, double baseline, std::string text, double size, Weight weight, Ink ink, TextRole role) {
  TextMark mark{std::move(text), x, baseline, size, weight, ink, role, {}};
  mark.box = {x, baseline - ascent * size, text_width(mark.text, size, weight), (ascent + descent) * size};
  return mark;
}

TextMark text_centred(double x, double baseline, std::string text, double size, Weight weight, Ink ink, TextRole role) {
  const double width = text_width(text, size, weight);
  return text_at(x - width / 2, baseline, std::move(text), size, weight, ink, role);
}

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
