#pragma once

#include <vector>

#include "cli/formats/paper/chart_form.h"
#include "cli/formats/paper/page_flow.h"

namespace romanesca {

/// How much of a chart's rows is shown.
struct ChartRowSettings {
  bool numerals = true;
  double left_column = 84;  ///< for the section's name and the sign of the key, in points
};

/// Sets the rows of a chart: in the left column the section and the sign of its key, then four equal bars with chords,
/// numerals and words, with repeats, endings and changes. Chords are made smaller, then fewer bars stand in a row,
/// where a bar is too full.
class ChartRowSetter {
 public:
  ChartRowSetter(PageFlow& flow, const Placement& placed, std::vector<ChartBar> bars, ChartRowSettings settings);
  void set();
  /// Room that all rows take, were they on one page.
  [[nodiscard]] double height() const;

 private:
  /// What a row holds beside its bars, and its room.
  struct RowPlan {
    ChartRow row;
    double over = 0;         ///< for endings and tempo
    double left_height = 0;  ///< of the left column
    std::size_t word_lines = 0;
    bool recall = false;
    [[nodiscard]] double height(double scale) const;
  };

  [[nodiscard]] const ChartBar& bar(const ChartRow& row, std::size_t i) const { return bars_[row.first + i]; }
  [[nodiscard]] double size(double points) const { return points * scale_; }
  [[nodiscard]] double bar_width() const {
    return (PageFlow::block_width - left_column_) / static_cast<double>(in_row_);
  }
  void choose_sizes();
  [[nodiscard]] double needed(const ChartBar& bar, double chord_size) const;
  [[nodiscard]] double chord_width(const ChartChord& chord, double chord_size) const;
  [[nodiscard]] double numeral_width(const ChartChord& chord) const;
  [[nodiscard]] double words_points() const;
  [[nodiscard]] double section_room() const;
  [[nodiscard]] std::vector<std::string> section_lines(const ChartBar& bar) const;
  [[nodiscard]] double inset(const ChartBar& bar) const;
  [[nodiscard]] std::vector<double> places(const ChartBar& bar) const;
  [[nodiscard]] std::vector<std::string> word_lines(const ChartBar& bar, const std::vector<double>& at,
                                                    std::size_t chord) const;
  [[nodiscard]] RowPlan plan(const ChartRow& row) const;
  void put_row(const RowPlan& plan);
  void put_recall(const ChartBar& bar);
  void put_left_column(const ChartRow& row, double top);
  void put_bar(const ChartBar& bar, double x, double top);
  void put_simile(double centre, double top);
  void put_lines(const ChartRow& row, double top);
  [[nodiscard]] bool shows_sign(const ChartBar& bar) const {
    return !bar.recall && (bar.number == first_number_ || bar.key);
  }
  [[nodiscard]] Key key_of(const ChartBar& bar) const;

  PageFlow& flow_;
  const Placement& placed_;
  std::vector<ChartBar> bars_;
  ChartRowSettings settings_;
  double scale_, left_column_;
  std::size_t in_row_ = 4;
  double chord_size_ = 15;
  int first_number_ = 1;
  std::vector<RowPlan> plans_;
};

}  // namespace romanesca
