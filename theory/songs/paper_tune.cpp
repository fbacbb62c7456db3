#include "theory/songs/paper_tune.h"

#include <algorithm>

#include "theory/songs/song_tune.h"

namespace romanesca {
namespace {

/// A bar as played, and what it is in.
struct WrittenTuneBar {
  const Bar* bar = nullptr;
  const Bar* chords = nullptr;  ///< the bar itself, or the one before that it repeats
  Meter meter{};
};

std::vector<WrittenTuneBar> tune_bars_of(const Progression& progression) {
  std::vector<WrittenTuneBar> bars;
  Meter meter = progression.meter();
  for (const Section& section : progression.sections) {
    for (const Row& row : section.rows) {
      if (row.change.meter) meter = *row.change.meter;
      for (const Bar& bar : row.bars) {
        const bool repeats = bar.repeats_last && !bars.empty();
        bars.push_back({&bar, repeats ? bars.back().chords : &bar, meter});
      }
    }
  }
  return bars;
}

/// Whether a bar has notes, and none of them, and no chord, in the time of the upbeat at its end.
bool leaves_room(const WrittenTuneBar& played, Beats upbeat) {
  const BarNotes& notes = played.bar->tune;
  const Beats length = played.meter.bar_length();
  const Beats end = length - upbeat;
  if (notes.empty() || end <= Beats(0) || notes.back().start + notes.back().length > end) return false;
  const std::vector<Slot>& slots = played.chords->slots;
  const auto count = static_cast<std::int64_t>(slots.size());
  for (std::int64_t i = 1; i < count; ++i) {
    const bool begins = !std::holds_alternative<Hold>(slots[static_cast<std::size_t>(i)].content);
    if (begins && length * i / count >= end) return false;
  }
  return true;
}

/// The bars after which a repeat goes back to bar 1, as they are played first.
std::vector<int> ends_of_first_repeat(const PrintedForm& form) {
  std::vector<int> ends;
  int opened = 0;
  for (const PrintedSection& section : form.sections) {
    if (section.is_recall()) continue;
    for (const PrintedBar& bar : section.bars) {
      if (bar.opens) opened = bar.bar;
      if (bar.closes > 0 && opened == 1) ends.push_back(bar.bar);
    }
  }
  return ends;
}

}  // namespace

Tune tune_on_paper(const Progression& progression, const Key& key) {
  Tune tune = tune_of(progression, key);
  if (tune.upbeat == Beats(0)) return tune;
  const Beats upbeat = tune.upbeat;
  const std::vector<WrittenTuneBar> bars = tune_bars_of(progression);
  const auto may_be_short = [&](int bar) {
    const bool known = bar >= 1 && static_cast<std::size_t>(bar) <= bars.size();
    return known && leaves_room(bars[static_cast<std::size_t>(bar) - 1], upbeat);
  };
  const PrintedForm form = printed_form(progression);
  const std::vector<int> ends = ends_of_first_repeat(form);
  if (!ends.empty() && std::all_of(ends.begin(), ends.end(), may_be_short)) {
    std::vector<int> after;
    for (const int end : ends) after.push_back(end + 1);
    tune = tune_of(progression, key, after);
    tune.short_bars = ends;
    tune.repeats_upbeat = true;
  }
  if (form.sections.empty() || form.sections.back().bars.empty()) return tune;
  const int last = form.sections.back().bars.back().bar;
  const bool known = std::binary_search(tune.short_bars.begin(), tune.short_bars.end(), last);
  const bool goes_on = std::binary_search(ends.begin(), ends.end(), last);  // and takes the upbeat with it
  if (!known && !goes_on && may_be_short(last)) tune.short_bars.push_back(last);
  std::sort(tune.short_bars.begin(), tune.short_bars.end());
  return tune;
}

}  // namespace romanesca
