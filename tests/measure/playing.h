#pragma once

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <map>
#include <optional>
#include <set>
#include <utility>
#include <vector>

#include "synth/arranging/band_arrangement.h"
#include "theory/songs/progression_text.h"

/// What can be counted of how a band plays, from its notes alone.
namespace romanesca::test {

inline constexpr int measured_bars = 32;

/// Eight times four bars in one section, at the style's usual tempo.
inline Arrangement played(const Style& style, std::uint32_t seed, int human_percent) {
  auto song = *parse_progression("| C | Am | F | G |", "four bars");
  song.written_meter = style.meter;
  const std::vector<Timeline> rounds(measured_bars / 4, timeline(song, {}));
  return arrange(plan_form(rounds, {}, style.usual_bpm, {}), style,
                 {style.usual_bpm, human_percent, std::nullopt, seed});
}

inline bool is_drums(const Part& part) { return instrument(part.instrument).drums; }
inline bool is_comping(const Part& part) { return !is_drums(part) && part.name != "bass"; }

/// Of each bar: place in it, and drum or part.
using Onsets = std::vector<std::set<std::pair<Beats, int>>>;

/// @param counts whether a part belongs to those that are compared
template <typename Counts>
Onsets onsets(const Arrangement& arrangement, const Style& style, Counts counts) {
  Onsets found(measured_bars);
  const Beats bar = style.meter.bar_length();
  for (const NoteEvent& event : arrangement.events) {
    const Part& part = arrangement.parts[event.part];
    if (!counts(part)) continue;
    const auto index = static_cast<std::size_t>(whole_times(event.start, bar));
    const Beats place = event.start - bar * static_cast<std::int64_t>(index);
    found[index].insert({place, is_drums(part) ? event.midi : event.part});
  }
  return found;
}

/// Percentage of the bars from the fifth on whose onsets differ from those four bars before.
inline double percent_changed(const Onsets& found) {
  int changed = 0;
  for (std::size_t bar = 4; bar < found.size(); ++bar) changed += found[bar] != found[bar - 4] ? 1 : 0;
  return 100.0 * changed / static_cast<double>(found.size() - 4);
}

/// Of the strokes of kick, side stick, snare and clap that more than half of the bars have on a beat: the percentage
/// that is played. The beats that fills take count as missing.
inline double percent_of_skeleton(const Onsets& drums, const Style& style) {
  std::map<std::pair<Beats, int>, int> counts;
  for (const auto& bar : drums) {
    for (const auto& [place, drum] : bar) {
      const Beats pulse = style.meter.pulse_length();
      if (drum >= 36 && drum <= 39 && pulse * whole_times(place, pulse) == place) ++counts[{place, drum}];
    }
  }
  int wanted = 0;
  int there = 0;
  for (const auto& [stroke, count] : counts) {
    if (2 * count <= static_cast<int>(drums.size())) continue;
    wanted += static_cast<int>(drums.size());
    there += count;
  }
  return wanted == 0 ? 100 : 100.0 * there / wanted;
}

/// How far strokes are from the grid, in ms, without their part's mean.
struct Deviations {
  double mean_ms = 0, sd_ms = 0, lag_1 = 0, lag_4 = 0;  ///< correlations with the next stroke and the fourth after it
};

inline double correlation(const std::vector<double>& values, std::size_t lag) {
  double product = 0;
  double square = 0;
  for (std::size_t i = 0; i < values.size(); ++i) {
    square += values[i] * values[i];
    if (i + lag < values.size()) product += values[i] * values[i + lag];
  }
  return square > 0 ? product / square : 0;
}

/// Of one part: the same notes with and without unevenness, in the same order for each pitch. Nothing for a part with
/// fewer strokes than two a bar.
inline std::optional<Deviations> deviations(const Arrangement& exact, const Arrangement& human, std::size_t part,
                                            double beat_ms) {
  std::map<int, std::vector<Beats>> moved;
  for (const NoteEvent& event : human.events) {
    if (event.part == part) moved[event.midi].push_back(event.start);
  }
  std::map<int, std::size_t> used;
  std::map<Beats, double> late;  // of each stroke
  for (const NoteEvent& event : exact.events) {
    if (event.part != part) continue;
    const std::vector<Beats>& places = moved[event.midi];
    const std::size_t index = used[event.midi]++;
    if (index < places.size()) late[event.start] = (places[index] - event.start).quarters() * beat_ms;
  }
  const auto count = static_cast<double>(late.size());
  if (count < 2 * measured_bars) return std::nullopt;
  Deviations result;
  for (const auto& [place, ms] : late) result.mean_ms += ms / count;
  std::vector<double> values;
  for (const auto& [place, ms] : late) {
    values.push_back(ms - result.mean_ms);
    result.sd_ms += values.back() * values.back() / count;
  }
  result.sd_ms = std::sqrt(result.sd_ms);
  result.lag_1 = correlation(values, 1);
  result.lag_4 = correlation(values, 4);
  return result;
}

inline double quarter_ms(const Style& style) {
  return 60000 / (style.usual_bpm * style.meter.pulse_length().quarters());
}

}  // namespace romanesca::test
