#include "theory/harmony/tune_repeats.h"

#include <algorithm>
#include <map>
#include <tuple>
#include <utility>

namespace romanesca {
namespace {

constexpr int bars_together = 2;

/// A note inside a pair of bars: where it sounds there, and what; or the pair's meter at the beginning of a list.
using PlacedTone = std::tuple<Beats, Beats, int>;

/// The notes that sound in a pair of bars, cut at its borders.
std::vector<PlacedTone> tones_between(const Tune& tune, std::size_t& first, Beats from, Beats to) {
  while (first < tune.notes.size() && tune.notes[first].start + tune.notes[first].length <= from) ++first;
  std::vector<PlacedTone> tones;
  for (std::size_t i = first; i < tune.notes.size() && tune.notes[i].start < to; ++i) {
    const TuneNote& note = tune.notes[i];
    const Beats start = std::max(note.start, from), end = std::min(note.start + note.length, to);
    if (start < end) tones.emplace_back(start - from, end - start, note.pitch.midi());
  }
  return tones;
}

}  // namespace

std::vector<TuneRepeat> find_tune_repeats(const Tune& tune, const MeterMap& meters,
                                          const std::vector<TuneSpan>& spans) {
  const int bars = spans.empty() ? 0 : spans.back().bar;
  std::map<std::vector<PlacedTone>, TuneRepeat> pairs;
  std::size_t note = 0, span = 0;
  for (int bar = 1; bar + bars_together - 1 <= bars; bar += bars_together) {
    while (span < spans.size() && spans[span].bar < bar) ++span;
    std::size_t end = span;
    while (end < spans.size() && spans[end].bar < bar + bars_together) ++end;
    std::vector<PlacedTone> key =
        tones_between(tune, note, meters.start_of(bar), meters.end_of(bar + bars_together - 1));
    if (key.empty()) continue;
    for (const int each : {bar, bar + 1})
      key.emplace_back(meters.at(each).bar_length(), meters.at(each).pulse_length(), -1);
    TuneRepeat& repeat = pairs[std::move(key)];
    repeat.first_spans.push_back(span);
    repeat.spans = end - span;
  }
  std::vector<TuneRepeat> repeats;
  for (auto& [key, repeat] : pairs) {
    if (repeat.first_spans.size() > 1) repeats.push_back(std::move(repeat));
  }
  std::sort(repeats.begin(), repeats.end(),
            [](const TuneRepeat& a, const TuneRepeat& b) { return a.first_spans.front() < b.first_spans.front(); });
  return repeats;
}

}  // namespace romanesca
