#include "theory/songs/doubtful_bars.h"

#include <fmt/format.h>

#include <algorithm>
#include <string_view>

namespace romanesca {
namespace {

constexpr std::string_view doubt_sign = "# ? bar";
constexpr int most_bar_number = 1'000'000;

}  // namespace

std::string doubt_comment(std::span<const int> bars) {
  if (bars.empty()) return {};
  return fmt::format("{}{} {}", doubt_sign, bars.size() == 1 ? "" : "s", fmt::join(bars, ", "));
}

std::vector<int> doubtful_bars(const Progression& progression) {
  std::vector<int> bars;
  for (const Section& section : progression.sections) {
    for (const Row& row : section.rows) {
      std::string_view rest = row.comment;
      if (!rest.starts_with(doubt_sign)) continue;
      rest.remove_prefix(doubt_sign.size());
      int number = 0;
      for (const char sign : rest) {
        if (sign >= '0' && sign <= '9') {
          number = std::min(10 * number + (sign - '0'), most_bar_number);
        } else {
          if (number > 0) bars.push_back(number);
          number = 0;
        }
      }
      if (number > 0) bars.push_back(number);
    }
  }
  std::sort(bars.begin(), bars.end());
  return bars;
}

}  // namespace romanesca
