#pragma once

#include <optional>
#include <span>

#include "synth/arranging/arranger.h"
#include "synth/arranging/guide.h"
#include "synth/arranging/song_form.h"
#include "synth/arranging/tune_part.h"

namespace romanesca {

/// Puts bars of clicks before the piece, on a part "count-in": the high wood block on the first beat of each bar, the
/// low one on the others; compound meters count their pulses. In a pick-up bar the clicks go on until the first
/// chord. @param bars 0 leaves the piece as it is.
[[nodiscard]] Arrangement with_count_in(Arrangement arrangement, const Score& score, int bars);

/// Clicks on every pulse of the piece, on a part "click".
[[nodiscard]] Arrangement with_click(Arrangement arrangement, const Score& score);

/// What the band is to play: the piece for each time through, its form, and how to play it.
struct BandPlan {
  std::span<const Timeline> rounds;   ///< see plan_form
  std::span<const Section> sections;  ///< of the piece, or none
  double song_bpm = usual_bpm;        ///< that the sections' tempos count from, pulses a minute
  FormRequest form;
  Playing playing;
  std::optional<Guide> guide;
  bool click = false;
  int count_in_bars = 0;
  std::vector<TunePart> tune_parts{};  ///< who plays the song's own tune
  std::span<const Tune> tunes{};       ///< it, for each time through; none where nobody plays it
};

struct BandArrangement {
  Score score;              ///< without the count-in
  Arrangement arrangement;  ///< with it
};

/// Writes the form out, arranges it in the style, and adds guide, clicks and count-in if requested.
[[nodiscard]] BandArrangement arrange_band(const BandPlan& plan, const Style& style);

}  // namespace romanesca
