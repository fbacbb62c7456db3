#pragma once

#include <optional>
#include <vector>

#include "cli/formats/engraving/beams.h"
#include "cli/formats/engraving/event_shape.h"
#include "cli/formats/engraving/marks.h"
#include "cli/formats/engraving/spacing.h"
#include "cli/formats/engraving/staff_content.h"

namespace romanesca {

/// Engraves one line of music: shapes every event, spaces the line to its width, and knows what room it takes before
/// anything is drawn. Lengths are points.
class SystemEngraver {
 public:
  /// @param width of the staves; a line that cannot be so narrow becomes wider
  SystemEngraver(StaffSystem system, double width);
  SystemEngraver(SystemEngraver&&) = default;  // its parts point at each other; a copy's would point at the original's
  SystemEngraver& operator=(SystemEngraver&&) = default;
  SystemEngraver(const SystemEngraver&) = delete;
  SystemEngraver& operator=(const SystemEngraver&) = delete;
  ~SystemEngraver() = default;

  /// The narrowest that the line can be, and what it would be without stretching.
  [[nodiscard]] static double least_width(const StaffSystem& system);
  [[nodiscard]] static double natural_width(const StaffSystem& system);

  [[nodiscard]] double width() const { return width_ * space(); }
  /// Ink over the top line of the highest staff, from there to the lowest line of all, and ink below that.
  [[nodiscard]] double above() const;
  [[nodiscard]] double height() const;
  [[nodiscard]] double below() const;
  /// Where a label begins, from the left end of the staves. @param label of the bar, in its order
  [[nodiscard]] double label_x(std::size_t bar, std::size_t label) const;
  /// From the top line of the highest staff down to the ink under that staff alone.
  [[nodiscard]] double highest_staff_depth() const { return (4 + staves_.front().bottom) * space(); }
  /// The left and right edge of a bar: from the line before it to its own line.
  [[nodiscard]] double bar_left(std::size_t bar) const { return bar_left_[bar] * space(); }
  [[nodiscard]] double bar_right(std::size_t bar) const { return bar_right_[bar] * space(); }
  /// Where an event's heads begin.
  [[nodiscard]] double event_x(std::size_t staff, std::size_t event) const {
    return staves_[staff].events[event].x * space();
  }
  /// Width of an event's heads.
  [[nodiscard]] double event_width(std::size_t staff, std::size_t event) const {
    return staves_[staff].events[event].shape.head_width * space();
  }

  /// @param x of the left end @param y of the highest staff's top line
  void put(std::vector<Mark>& marks, double x, double y) const;

 private:
  struct Placed {
    const StaffEvent* event = nullptr;
    EventShape shape;
    std::size_t bar = 0, column = 0;
    double x = 0;         ///< in spaces from the left end, as all lengths here
    double finger_y = 0;  ///< of the finger nearest to the notes: its lower edge over them, or upper edge below
  };
  struct Beam {
    std::size_t first = 0;  ///< event of the staff
    std::vector<BeamedEvent> events;
    BeamLine line;
  };
  struct Tuplets {
    std::size_t first = 0, last = 0;
    double y = 0;  ///< of the number's middle
    int number = 3;
    bool bracket = true;
  };
  struct Staff {
    Clef clef = Clef::treble;
    std::vector<Placed> events;
    std::vector<std::vector<std::size_t>> beam_groups;
    std::vector<Beam> beams;
    std::vector<Tuplets> tuplets;
    double top = 0, bottom = 0;  ///< ink over the top line and under the bottom line
    double y = 0;                ///< of its top line from the highest staff's
  };
  struct Column {
    bool bar_line = false;
    BarLine line = BarLine::none;
    std::size_t bar = 0;
    Beats time;
    double left = 0, right = 0;
    bool ties = false;
  };

  explicit SystemEngraver(StaffSystem system);
  [[nodiscard]] double space() const { return system_.space; }
  void shape_staff(std::size_t number);
  void shape_bar(Staff& staff, AccidentalState& signs, std::size_t number, std::size_t bar);
  void make_columns();
  void add_note_columns(std::size_t bar);
  void set_distances();
  /// @param labels of each bar
  void keep_apart(const std::vector<std::vector<StaffLabel>>& labels);
  [[nodiscard]] std::size_t column_at(std::size_t bar, Beats time) const;
  void place(double width);
  void place_even_bars(double width);
  void fit_beams();
  static void fit_tuplets(Staff& staff);
  void measure_staff(Staff& staff, bool fingers_above);
  [[nodiscard]] double prefix_width() const;
  [[nodiscard]] double finger_height() const { return system_.finger_height / space(); }
  [[nodiscard]] bool fingers_above(const Staff& staff) const {
    return &staff == staves_.data() && staff.clef != Clef::bass;
  }

  void put_prefix(std::vector<Mark>& marks, double x, double y) const;
  void put_bar_lines(std::vector<Mark>& marks, double x, double y) const;
  void put_event(std::vector<Mark>& marks, const Staff& staff, const Placed& placed, double x, double middle) const;
  void put_ledgers(std::vector<Mark>& marks, const EventShape& shape, double x, double middle, int group) const;
  void put_fingers(std::vector<Mark>& marks, const Staff& staff, const Placed& placed, double x, double middle) const;
  void put_ties(std::vector<Mark>& marks, const Staff& staff, double x, double middle) const;
  void put_tuplets(std::vector<Mark>& marks, const Staff& staff, double x, double middle) const;

  StaffSystem system_;
  std::vector<Staff> staves_;
  std::vector<Column> columns_;
  std::vector<SpacingColumn> spacing_;
  std::vector<LeastDistance> distances_;
  std::vector<double> column_x_, bar_left_, bar_right_;
  std::vector<std::vector<double>> label_x_;
  double width_ = 0;
};

}  // namespace romanesca
