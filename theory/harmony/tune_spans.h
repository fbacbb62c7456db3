#pragma once

#include <array>
#include <vector>

#include "theory/notes/meter_map.h"
#include "theory/tunes/tune.h"

namespace romanesca {

/// A stretch of a tune that has one chord: a bar, or a part of one.
struct TuneSpan {
  int bar = 1;            ///< from 1
  Beats start;            ///< quarter notes from bar 1
  Beats length;           ///< more than 0
  bool opens_bar = true;  ///< begins on the bar line
  bool opens_half =
      false;  ///< begins in the middle of a bar of an even number of pulses, or with the second part of five
  /// How much each of the twelve sounding classes (0 for C) weighs here, in hundredths of a pulse that is sung off the
  /// beat: its length, more on strong beats, less for short notes passed by step.
  std::array<int, 12> stress{};
  /// The sounding class that the last note rises to by a semitone on the next bar line; -1 where it does not.
  int rises_to = -1;
  int suspended = 0;  ///< of stress: what that class has right before that last note, as a suspension of it
};

/// How finely a bar is cut into spans.
enum class SpanSize {
  bar,       ///< a chord a bar
  half_bar,  ///< two in bars of two, four or five pulses; bars of three pulses stay whole
};

/// The bars of a tune from bar 1 to the one where its last note ends. An upbeat has no span: it is sung without a chord
/// (common practice, no source). A bar of five is 3 + 2 pulses, or 2 + 3 where the tune's longer notes begin with the
/// third: it is the same in all bars of a tune. At most longest_tune_bars.
[[nodiscard]] std::vector<TuneSpan> tune_spans(const Tune& tune, const MeterMap& meters, SpanSize size);

inline constexpr int longest_tune_bars = 4000;

/// Bars that the tune has, counted from bar 1; 0 for a tune without notes.
[[nodiscard]] int tune_bars(const Tune& tune, const MeterMap& meters);

}  // namespace romanesca
