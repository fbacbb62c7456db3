#include "synth/arranging/style.h"

#include <algorithm>
#include <array>

#include "theory/text/nearest_word.h"

namespace romanesca {

const StylePattern& StylePart::pattern(Intensity intensity, bool leads_on) const {
  if (leads_on && fill) return *fill;
  if (intensity == Intensity::soft && soft) return *soft;
  if (intensity == Intensity::full && full) return *full;
  return play;
}

std::span<const Style> styles() {
  static const std::vector<Style> all = [] {
    std::vector<Style> read;
    for (const EmbeddedText& file : style_texts()) {
      // The tests read every file, so a built-in one has no errors.
      if (auto style = read_style(file)) read.push_back(std::move(*style));
    }
    std::sort(read.begin(), read.end(), [](const Style& a, const Style& b) { return a.id < b.id; });
    return read;
  }();
  return all;
}

const Style* style_named(std::string_view id, std::span<const Style> among) {
  auto found = std::find_if(among.begin(), among.end(), [&](const Style& style) { return style.id == id; });
  if (found == among.end() && id.size() < 100) {
    const std::string plain = plain_name(id);
    found = std::find_if(among.begin(), among.end(), [&](const Style& each) { return plain_name(each.id) == plain; });
  }
  return found == among.end() ? nullptr : &*found;
}

const Style& usual_style(const Meter& meter) {
  constexpr std::array<std::string_view, 7> usual{"two-beat",         "waltz",      "pop",       "five-four",
                                                  "six-eight-ballad", "nine-eight", "slow-blues"};
  for (const std::string_view id : usual) {
    const Style* style = style_named(id);
    if (style != nullptr && style->meter == meter) return *style;
  }
  return styles().front();
}

}  // namespace romanesca
