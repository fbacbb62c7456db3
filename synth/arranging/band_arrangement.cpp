#include "synth/arranging/band_arrangement.h"

#include <algorithm>
#include <tuple>

namespace romanesca {
namespace {

constexpr std::uint8_t high_block = 76;  // General MIDI percussion keys
constexpr std::uint8_t low_block = 77;

void add_clicks(Arrangement& arrangement, const std::string& name, const MeterMap& meters, Beats to) {
  const auto part = static_cast<std::uint8_t>(arrangement.parts.size());
  arrangement.parts.push_back({name, InstrumentId::click, 0, false});
  for (int bar = 1; meters.start_of(bar) < to; ++bar) {
    const Beats pulse = meters.at(bar).pulse_length();
    const Beats end = std::min(to, meters.end_of(bar));
    for (Beats at = meters.start_of(bar); at < end; at += pulse) {
      const bool first = at == meters.start_of(bar);
      arrangement.events.push_back(
          {at, Beats(1, 4), first ? high_block : low_block, static_cast<std::uint8_t>(first ? 110 : 90), part});
    }
  }
  std::sort(arrangement.events.begin(), arrangement.events.end(), [](const NoteEvent& a, const NoteEvent& b) {
    return std::tie(a.start, a.part, a.midi) < std::tie(b.start, b.part, b.midi);
  });
}

}  // namespace

Arrangement with_count_in(Arrangement arrangement, const Score& score, int bars) {
  if (bars <= 0) return arrangement;
  const Beats before = score.meter().bar_length() * bars;
  for (NoteEvent& event : arrangement.events) event.start += before;
  for (TempoFactor& tempo : arrangement.tempos) {
    if (tempo.at > Beats(0)) tempo.at += before;
  }
  arrangement.length += before;
  const Beats pick_up = score.bars.empty() ? Beats(0) : score.bars.front().silent_until;
  add_clicks(arrangement, "count-in", MeterMap(score.meter()), before + pick_up);
  return arrangement;
}

Arrangement with_click(Arrangement arrangement, const Score& score) {
  add_clicks(arrangement, "click", score.meters, score.length());
  return arrangement;
}

BandArrangement arrange_band(const BandPlan& plan, const Style& style) {
  BandArrangement band;
  FormRequest form = plan.form;
  if (form.ending == Ending::own) form.ending = style.ending;
  band.score = plan_form(plan.rounds, plan.sections, plan.song_bpm, form);
  band.arrangement = arrange(band.score, style, plan.playing);
  if (plan.guide && *plan.guide != Guide::tune) {
    band.arrangement = with_guide(std::move(band.arrangement), band.score, *plan.guide, groove_of(style, plan.playing));
  }
  if (plan.click) band.arrangement = with_click(std::move(band.arrangement), band.score);
  band.arrangement = with_count_in(std::move(band.arrangement), band.score, plan.count_in_bars);
  for (const TunePart& part : plan.tune_parts) {
    band.arrangement = with_tune(std::move(band.arrangement), band.score, plan.tunes, part, form.ending == Ending::none,
                                 groove_of(style, plan.playing));
  }
  return band;
}

}  // namespace romanesca
