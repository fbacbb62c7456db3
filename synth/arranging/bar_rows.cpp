#include "synth/arranging/bar_rows.h"

#include <algorithm>
#include <map>

namespace romanesca {
namespace {

constexpr int phrase_bars = 4;
/// Of twelve optional strokes so many are played.
constexpr int strokes_of_twelve(Intensity intensity) {
  return intensity == Intensity::soft ? 3 : intensity == Intensity::full ? 8 : 6;
}
constexpr std::uint32_t bar_stride = 256;  // more than the steps of a bar

/// Chooses the way of a row, bar after bar.
class WayChooser {
 public:
  WayChooser(std::uint32_t seed, std::uint32_t part) : chance_(seed), part_(part) {}

  /// @param start the bar in which the row begins @param first_of_phrase whether a phrase begins there
  std::size_t way(const StyleRow& row, std::uint32_t number, std::uint32_t start, bool first_of_phrase) {
    const auto ways = static_cast<int>(row.ways.size());
    if (ways < 2) return 0;
    const std::uint32_t place = 64 * part_ + number;
    Choice& now = now_[&row];
    if (now.known && now.start == start) return static_cast<std::size_t>(now.way);
    const int drawn = chance_.below(12, start, place);
    int way = first_of_phrase && drawn < 5 ? 0 : drawn % ways;
    Choice& before = before_[{&row, start % phrase_bars}];
    if (before.known && before.way == way && chance_.below(4, start, place + 16) != 0)
      way = (way + 1 + chance_.below(ways - 1, start, place + 32)) % ways;
    now = before = {true, start, way};
    return static_cast<std::size_t>(way);
  }

 private:
  Chance chance_;
  std::uint32_t part_;
  struct Choice {
    bool known = false;
    std::uint32_t start = 0;
    int way = 0;
  };
  std::map<const StyleRow*, Choice> now_;                               ///< a row of two bars is chosen once for both
  std::map<std::pair<const StyleRow*, std::uint32_t>, Choice> before_;  ///< at each place of a phrase
};

/// What a part plays for "?" where it plays it: softly what it played last.
char optional_stroke(StyleRole role) {
  switch (role) {
    case StyleRole::drums:
      return 'g';
    case StyleRole::bass:
      return '=';
    case StyleRole::guitar:
      return 'U';
    case StyleRole::chords:
      break;
  }
  return 'o';
}

void decide_optional_strokes(std::string& signs, StyleRole role, int of_twelve, const Chance& chance, std::uint32_t bar,
                             std::uint32_t place) {
  bool sounds = false;
  for (std::uint32_t step = 0; step < signs.size(); ++step) {
    char& sign = signs[step];
    if (sign == '?') {
      const bool played = chance.below(12, bar * bar_stride + step, place) < of_twelve;
      const bool possible = sounds || role != StyleRole::bass;
      const char silence = role == StyleRole::drums || !sounds ? '.' : '-';
      sign = played && possible ? optional_stroke(role) : silence;
    }
    if (sign != '-') sounds = sign != '.';
  }
}

std::vector<const DrumFill*> of_length(std::span<const DrumFill* const> fills, int pulses, bool build) {
  std::vector<const DrumFill*> found;
  for (const DrumFill* fill : fills) {
    const bool fits = pulses > 2 ? fill->pulses > 2 : fill->pulses == pulses;
    if (fits && fill->build == build) found.push_back(fill);
  }
  return found;
}

}  // namespace

std::vector<std::vector<BarRow>> rows_of_bars(const StylePart& part, const Style& style, const Score& score,
                                              std::uint32_t seed, std::uint32_t part_number) {
  const auto steps = static_cast<std::size_t>(style.steps_per_bar());
  const Chance chance(seed);
  WayChooser chooser(seed, part_number);
  std::vector<std::vector<BarRow>> result(score.bars.size());
  for (std::uint32_t bar = 0; bar < score.bars.size(); ++bar) {
    const ScoreBar& place = score.bars[bar];
    std::vector<BarRow>& rows = result[bar];
    std::uint32_t number = 0;
    for (const StyleRow& row : part.pattern(place.intensity, place.fill)) {
      const std::size_t bars = row.ways.front().size() / steps;
      const std::size_t within = static_cast<std::size_t>(place.in_section) % bars;
      const auto start = bar - static_cast<std::uint32_t>(within);
      const bool first = (place.in_section - static_cast<int>(within)) % phrase_bars == 0;
      const std::string& way = row.ways[chooser.way(row, number, start, first)];
      std::string signs = way.substr(within * steps, steps);
      decide_optional_strokes(signs, part.role, strokes_of_twelve(place.intensity), chance, bar,
                              64 * part_number + 48 + number);
      rows.push_back({row.drum, std::move(signs)});
      ++number;
    }
  }
  return result;
}

std::string brief_row(const StyleRow& row, const Style& style, std::uint32_t seed, std::uint32_t place) {
  const int ways = static_cast<int>(row.ways.size());
  std::string signs = row.ways[static_cast<std::size_t>(Chance(seed).below(ways, place, 7))];
  signs.resize(static_cast<std::size_t>(style.steps_per_bar()));
  std::replace(signs.begin(), signs.end(), '?', '-');
  return signs;
}

std::vector<const DrumFill*> fills_of_bars(const StylePart& part, const Style& style, const Score& score,
                                           std::uint32_t seed) {
  std::vector<const DrumFill*> known;
  for (const DrumFill& fill : part.fills) known.push_back(&fill);
  if (style.fills != nullptr) {
    for (const DrumFill& fill : style.fills->fills) known.push_back(&fill);
  }
  std::vector<const DrumFill*> result(score.bars.size(), nullptr);
  const Chance chance(seed + 2);
  const DrumFill* last = nullptr;
  for (std::uint32_t bar = 0; bar < score.bars.size(); ++bar) {
    const ScoreBar& place = score.bars[bar];
    const int drawn = chance.below(12, bar, 1);
    const bool phrase_ends = place.in_section % phrase_bars == phrase_bars - 1;
    int pulses = 0;
    if (place.fill) pulses = place.leads_up || (drawn < 5 && place.intensity != Intensity::soft) ? 4 : 2;
    if (!place.fill && phrase_ends) pulses = drawn < 5 ? 1 : drawn < 7 && place.intensity != Intensity::soft ? 2 : 0;
    pulses = std::min(pulses, place.meter.pulses());
    std::vector<const DrumFill*> fitting;
    if (place.leads_up && drawn < 6) fitting = of_length(known, pulses, true);
    for (; fitting.empty() && pulses > 0; --pulses) fitting = of_length(known, pulses, false);
    if (fitting.empty()) continue;
    auto pick = static_cast<std::size_t>(chance.below(static_cast<int>(fitting.size()), bar, 2));
    if (fitting[pick] == last) pick = (pick + 1) % fitting.size();
    last = result[bar] = fitting[pick];
  }
  return result;
}

}  // namespace romanesca
