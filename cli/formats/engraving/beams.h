#pragma once

#include <cstddef>
#include <vector>

#include "cli/formats/engraving/event_shape.h"
#include "cli/formats/engraving/marks.h"

namespace romanesca {

/// Events of a bar that share beams: neighbours of less than a quarter within one pulse or one tuplet. Places in the
/// bar, two or more in each group.
[[nodiscard]] std::vector<std::vector<std::size_t>> beam_groups(const std::vector<StaffEvent>& events,
                                                                const Meter& meter);

/// An event under a beam: its shape, which gets its stem's end from the beam, its column's x in staff spaces, and its
/// power of two below a quarter: -1 for an eighth.
struct BeamedEvent {
  EventShape* shape = nullptr;
  double x = 0;
  int power = -1;
};

/// A beam's outer edge line through the first and last stem, as the y at both.
struct BeamLine {
  double from_x = 0, from_y = 0, to_x = 0, to_y = 0;
  bool up = true;
  [[nodiscard]] double at(double x) const {
    return to_x == from_x ? from_y : from_y + (to_y - from_y) * (x - from_x) / (to_x - from_x);
  }
};

/// Chooses slope and height of a beam and ends the stems on it. Slopes grow with the interval of the outer notes, less
/// for close ones, and none where an inner note is outermost; ends hang from, straddle or sit on staff lines (after
/// Gould and Ross, from memory).
[[nodiscard]] BeamLine fit_beam(std::vector<BeamedEvent>& events);

/// Draws the beams. @param middle y of the staff's middle line @param left x of the columns' origin, both in points
void put_beams(std::vector<Mark>& marks, const BeamLine& line, const std::vector<BeamedEvent>& events, double left,
               double middle, double space, int group);

}  // namespace romanesca
