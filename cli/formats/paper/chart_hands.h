#pragma once

#include <string>
#include <vector>

#include "cli/formats/paper/keyboard_marks.h"
#include "cli/formats/paper/page_flow.h"
#include "theory/analysis/placement.h"
#include "theory/voicing/hands.h"

namespace romanesca {

/// A chord with the hands that play it, and in which bars.
struct ChartShape {
  Chord chord;
  const HandsChord* hands = nullptr;
  std::vector<int> bars;
  std::string caption{};  ///< in place of the bars
  std::string name{};     ///< in place of the chord's symbol
  NoteNames names = NoteNames::english;
};

/// Each different way that hands play a chord of the piece, in the order in which they come.
/// @param open chords of the timeline that the reader is to find; rising
/// @param numbers of the printed bars that stand for those as played, as printed_numbers() says
[[nodiscard]] std::vector<ChartShape> chart_shapes(const Placement& placed, const Hands& hands,
                                                   const std::vector<std::size_t>& open,
                                                   const std::vector<int>& numbers);

/// Keyboards for the shapes in a grid: all with one range of keys and one size.
class HandsGrid {
 public:
  /// @param flow the page they will stand on @param room that they should not exceed, if they can
  HandsGrid(const PageFlow& flow, std::vector<ChartShape> shapes, double room);
  [[nodiscard]] double height() const;
  /// Sets the rows from here down; none is split.
  void put(PageFlow& flow) const;

 private:
  [[nodiscard]] double row_height() const;
  void put_shape(PageFlow& flow, double x, const ChartShape& shape) const;

  std::vector<ChartShape> shapes_;
  KeyboardScale scale_;
  std::size_t columns_ = 4;
  double size_;
  double gap_ = 16;
};

/// The heading "Hands" with the meaning of the marks, and the grid, with as much on this page as fits.
void put_hands(PageFlow& flow, std::vector<ChartShape> shapes, double kept_free);

}  // namespace romanesca
