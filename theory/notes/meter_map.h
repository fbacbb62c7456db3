#pragma once

#include <cstddef>
#include <vector>

#include "theory/notes/meter.h"

namespace romanesca {

/// A meter, and the first bar in which it counts.
struct MeterChange {
  int bar = 1;  ///< from 1
  Beats start;  ///< of that bar, from the start of the piece
  Meter meter;
};

/// Which meter counts in which bar of a piece, and so where its bars begin. Bars are counted from 1; those after the
/// last change have its meter without end.
class MeterMap {
 public:
  MeterMap() : MeterMap(Meter{}) {}
  explicit MeterMap(Meter first) : changes_{{1, Beats(0), first}} {}

  /// From @p bar on another meter counts. @param bar no earlier than the last change
  void change(int bar, Meter meter);

  /// In order; the first at bar 1. Neighbours differ.
  [[nodiscard]] const std::vector<MeterChange>& changes() const noexcept { return changes_; }
  [[nodiscard]] Meter first() const noexcept { return changes_.front().meter; }
  [[nodiscard]] bool is_constant() const noexcept { return changes_.size() == 1; }

  [[nodiscard]] Meter at(int bar) const noexcept { return of_bar(bar).meter; }
  /// Where a bar begins, from the start of the piece.
  [[nodiscard]] Beats start_of(int bar) const noexcept;
  [[nodiscard]] Beats end_of(int bar) const noexcept { return start_of(bar) + at(bar).bar_length(); }
  /// The bar that sounds at a time. @param time not negative
  [[nodiscard]] int bar_at(Beats time) const noexcept;
  /// How far a time is behind the bar line before it.
  [[nodiscard]] Beats within_bar(Beats time) const noexcept { return time - start_of(bar_at(time)); }

 private:
  [[nodiscard]] const MeterChange& of_bar(int bar) const noexcept;

  std::vector<MeterChange> changes_;
};

}  // namespace romanesca
