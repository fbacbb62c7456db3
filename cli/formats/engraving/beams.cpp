#include "cli/formats/engraving/beams.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>

#include "cli/formats/engraving/engraving_rules.h"

namespace romanesca {
namespace {

using namespace engraving;

/// The nearest height at which a beam hangs, straddles or sits on a line; its middle never lies in a space's middle.
double on_a_line(double y) {
  const double whole = std::floor(y);
  double best = whole;
  for (const double part : {0.0, 0.25, 0.75, 1.0}) {
    if (std::abs(whole + part - y) < std::abs(best - y)) best = whole + part;
  }
  return best;
}

double slope_for(const std::vector<BeamedEvent>& events, bool up) {
  const EventShape& first = *events.front().shape;
  const EventShape& last = *events.back().shape;
  const auto outer = [&](const EventShape& shape) { return shape.near_head(); };
  for (std::size_t i = 1; i + 1 < events.size(); ++i) {
    const double inner = outer(*events[i].shape);
    if (up ? inner <= std::min(outer(first), outer(last)) : inner >= std::max(outer(first), outer(last))) return 0;
  }
  constexpr std::array<double, 6> rise{0, 0.25, 0.5, 0.75, 1.0, 1.25};  // by the interval in steps
  const double difference = outer(last) - outer(first);
  const auto steps = static_cast<std::size_t>(std::lround(std::abs(difference) * 2));
  double slope = rise[std::min(steps, rise.size() - 1)];
  constexpr double close = 4.2;
  if (events.back().x + last.stem_x - events.front().x - first.stem_x < close) slope = std::min(slope, 0.5);
  return difference < 0 ? -slope : slope;
}

void put_beam(std::vector<Mark>& marks, const BeamLine& line, double from, double to, double shift, double left,
              double middle, double space, int group) {
  ShapeMark beam_shape;
  const auto point = [&](double x, double side) {
    beam_shape.points.push_back({left + x * space, middle + (line.at(x) + shift + side * beam / 2) * space});
  };
  point(from, -1);
  point(to, -1);
  point(to, 1);
  point(from, 1);
  marks.push_back({std::move(beam_shape), MarkKind::beam, group});
}

}  // namespace

std::vector<std::vector<std::size_t>> beam_groups(const std::vector<StaffEvent>& events, const Meter& meter) {
  std::vector<std::vector<std::size_t>> groups;
  std::vector<std::size_t> group;
  const auto close = [&] {
    if (group.size() > 1) groups.push_back(group);
    group.clear();
  };
  std::int64_t pulse = -1;
  for (std::size_t i = 0; i < events.size(); ++i) {
    const StaffEvent& event = events[i];
    const bool beamable = event.value.power < 0 && (!event.notes.empty() || event.slash);
    const std::int64_t here = whole_times(event.start, meter.pulse_length());
    const bool new_tuplet = event.tuplet && event.tuplet->opens;
    if (!beamable || (!event.tuplet && here != pulse) || new_tuplet) close();
    if (beamable) group.push_back(i);
    pulse = here;
    if (event.tuplet && event.tuplet->closes) close();
  }
  close();
  return groups;
}

BeamLine fit_beam(std::vector<BeamedEvent>& events) {
  const bool up = events.front().shape->up;
  const double direction = up ? -1 : 1;
  const double slope = slope_for(events, up);
  BeamLine line;
  line.up = up;
  line.from_x = events.front().x + events.front().shape->stem_x;
  line.to_x = events.back().x + events.back().shape->stem_x;
  const double width = std::max(line.to_x - line.from_x, 0.01);
  int levels = 1;
  for (const BeamedEvent& event : events) levels = std::max(levels, -event.power);
  const double shortest = beamed_stem + (events.size() > 2 ? 0.25 : 0) + (levels - 1) * (beam + beam_gap);
  const double usual = std::max(stem_length, shortest);
  const auto base = [&](const BeamedEvent& event, double length) {
    const double along = (event.x + event.shape->stem_x - line.from_x) / width;
    return event.shape->near_head() + direction * length - slope * along;
  };
  double y = 0;
  for (const BeamedEvent& event : events) y += base(event, usual) / static_cast<double>(events.size());
  for (const BeamedEvent& event : events) {
    const double limit = base(event, shortest);
    y = up ? std::min(y, limit) : std::max(y, limit);
    const double middle = -slope * ((event.x + event.shape->stem_x - line.from_x) / width);
    y = up ? std::min(y, middle) : std::max(y, middle);  // stems reach the middle line
  }
  line.from_y = on_a_line(y);
  line.to_y = on_a_line(line.from_y + slope);
  for (BeamedEvent& event : events) {
    event.shape->stem_tip = line.at(event.x + event.shape->stem_x);
    event.shape->flag.reset();
    event.shape->measure_height();
    event.shape->top = std::min(event.shape->top, event.shape->stem_tip - beam / 2);
    event.shape->bottom = std::max(event.shape->bottom, event.shape->stem_tip + beam / 2);
  }
  return line;
}

void put_beams(std::vector<Mark>& marks, const BeamLine& line, const std::vector<BeamedEvent>& events, double left,
               double middle, double space, int group) {
  constexpr double stub = 1.1;  // of a note alone on an inner beam
  const double side = stem / 2;
  const double inwards = line.up ? beam + beam_gap : -(beam + beam_gap);
  const auto stem_at = [&](std::size_t i) { return events[i].x + events[i].shape->stem_x; };
  put_beam(marks, line, line.from_x - side, line.to_x + side, 0, left, middle, space, group);
  int levels = 1;
  for (const BeamedEvent& event : events) levels = std::max(levels, -event.power);
  for (int level = 2; level <= levels; ++level) {
    const double shift = inwards * (level - 1);
    for (std::size_t i = 0; i < events.size();) {
      if (-events[i].power < level) {
        ++i;
        continue;
      }
      std::size_t end = i;
      while (end + 1 < events.size() && -events[end + 1].power >= level) ++end;
      double from = stem_at(i) - side;
      double to = stem_at(end) + side;
      if (end == i && i > 0) from = stem_at(i) - stub;
      if (end == i && i == 0) to = stem_at(i) + stub;
      put_beam(marks, line, from, to, shift, left, middle, space, group);
      i = end + 1;
    }
  }
}

}  // namespace romanesca
