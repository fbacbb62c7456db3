#include "theory/notes/meter_map.h"

#include <algorithm>
#include <iterator>

namespace romanesca {

void MeterMap::change(int bar, Meter meter) {
  const Beats start = start_of(bar);
  if (changes_.back().bar == bar) changes_.pop_back();
  if (changes_.empty() || changes_.back().meter != meter) changes_.push_back({bar, start, meter});
}

const MeterChange& MeterMap::of_bar(int bar) const noexcept {
  if (changes_.size() == 1) return changes_.front();
  const auto after = std::upper_bound(changes_.begin(), changes_.end(), bar,
                                      [](int wanted, const MeterChange& each) { return wanted < each.bar; });
  return after == changes_.begin() ? changes_.front() : *std::prev(after);
}

Beats MeterMap::start_of(int bar) const noexcept {
  const MeterChange& here = of_bar(bar);
  return here.start + here.meter.bar_length() * (bar - here.bar);
}

int MeterMap::bar_at(Beats time) const noexcept {
  const auto after = std::upper_bound(changes_.begin(), changes_.end(), time,
                                      [](Beats wanted, const MeterChange& each) { return wanted < each.start; });
  const MeterChange& here = after == changes_.begin() ? changes_.front() : *std::prev(after);
  return here.bar + static_cast<int>(whole_times(time - here.start, here.meter.bar_length()));
}

}  // namespace romanesca
