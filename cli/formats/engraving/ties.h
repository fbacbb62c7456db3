#pragma once

#include <vector>

#include "cli/formats/engraving/event_shape.h"
#include "cli/formats/engraving/marks.h"

namespace romanesca {

/// A tie in staff spaces: from the point behind one head to the one before the next, both at one height.
struct Tie {
  double from_x = 0, to_x = 0, y = 0;
  bool up = true;  ///< its bow
};

/// The tie of one note of a chord, by its place in it. Ties of a single note bow away from the stem; of a chord the
/// upper half's upwards, the lower half's downwards; seconds part (Gould, from memory). Outer ties begin over the head
/// where no stem or flag is in the way, inner ones behind all heads.
/// @param x of the event, @param next_x of the next one, in staff spaces; @param next its shape, or nullptr at the
/// line's end, @param next_place of the note in it
[[nodiscard]] Tie tie_between(const EventShape& shape, std::size_t place, double x, const EventShape* next,
                              std::size_t next_place, double next_x);
/// The part of a tie from the line before that leads to a note.
[[nodiscard]] Tie tie_from_before(const EventShape& shape, std::size_t place, double x, double from_x);

/// @param left x of the columns' origin @param middle y of the staff's middle line, in points
void put_tie(std::vector<Mark>& marks, const Tie& tie, double left, double middle, double space);

}  // namespace romanesca
