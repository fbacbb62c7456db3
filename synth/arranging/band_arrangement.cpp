#include "synth/arranging/band_arrangement.h"

#include "synth/arranging/metronome.h"

namespace romanesca {

BandArrangement arrange_band(const BandPlan& plan, const Style& style) {
  BandArrangement band;
  band.score = plan_form(plan.rounds, plan.sections, plan.song_bpm, plan.form);
  band.arrangement = arrange(band.score, style, plan.playing);
  if (plan.guide) {
    band.arrangement = with_guide(std::move(band.arrangement), band.score, *plan.guide, groove_of(style, plan.playing));
  }
  if (plan.click) band.arrangement = with_click(std::move(band.arrangement), band.score);
  band.arrangement = with_count_in(std::move(band.arrangement), band.score, plan.count_in_bars);
  return band;
}

}  // namespace romanesca
