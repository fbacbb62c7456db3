#include "cli/formats/engraving/system_engraver.h"

#include <algorithm>
#include <cmath>
#include <set>

#include "cli/formats/engraving/engraving_rules.h"
#include "cli/formats/engraving/staff_signs.h"

namespace romanesca {
namespace {

using namespace engraving;

/// The pitches that go on into the next event.
std::set<std::pair<int, int>> tied_pitches(const StaffEvent& event) {
  std::set<std::pair<int, int>> tied;
  for (const StaffNote& note : event.notes) {
    if (note.tied) tied.insert({staff_step(note.pitch), note.pitch.name().alteration()});
  }
  return tied;
}

}  // namespace

SystemEngraver::SystemEngraver(StaffSystem system) : system_(std::move(system)) {
  staves_.resize(system_.clefs.size());
  for (std::size_t i = 0; i < staves_.size(); ++i) shape_staff(i);
  make_columns();
  set_distances();
}

SystemEngraver::SystemEngraver(StaffSystem system, double width) : SystemEngraver(std::move(system)) {
  system_.even_bars ? place_even_bars(width / space()) : place(width / space());
  fit_beams();
  double y = 0;
  for (std::size_t i = 0; i < staves_.size(); ++i) {
    Staff& staff = staves_[i];
    fit_tuplets(staff);
    measure_staff(staff, fingers_above(staff));
    if (i > 0) {
      const double words = i == 1 ? system_.words_height / space() : 0;
      const double gap = std::max(least_staff_gap, staves_[i - 1].bottom + words + staff.top + 1.0);
      y += 4 + std::ceil(gap);
    }
    staff.y = y;
  }
}

double SystemEngraver::least_width(const StaffSystem& system) {
  const SystemEngraver engraver(system);
  return (spaced_by(engraver.spacing_, engraver.distances_, 0).back() + engraver.columns_.back().right) * system.space;
}

double SystemEngraver::natural_width(const StaffSystem& system) {
  const SystemEngraver engraver(system);
  return (spaced_by(engraver.spacing_, engraver.distances_, 1).back() + engraver.columns_.back().right) * system.space;
}

double SystemEngraver::above() const { return staves_.front().top * space(); }
double SystemEngraver::height() const { return (staves_.back().y + 4) * space(); }
double SystemEngraver::below() const { return staves_.back().bottom * space(); }

double SystemEngraver::label_x(std::size_t bar, std::size_t label) const { return label_x_[bar][label] * space(); }

void SystemEngraver::shape_staff(std::size_t number) {
  Staff& staff = staves_[number];
  staff.clef = system_.clefs[number];
  AccidentalState signs(system_.key);
  for (std::size_t bar = 0; bar < system_.bars.size(); ++bar) {
    signs.start_bar();
    if (number < system_.bars[bar].staves.size()) shape_bar(staff, signs, number, bar);
  }
}

void SystemEngraver::shape_bar(Staff& staff, AccidentalState& signs, std::size_t number, std::size_t bar) {
  const std::vector<StaffEvent>& events = system_.bars[bar].staves[number];
  const std::size_t first = staff.events.size();
  std::vector<std::optional<bool>> directions(events.size());
  std::vector<bool> beamed(events.size(), false);
  for (std::vector<std::size_t>& group : beam_groups(events, system_.bars[bar].meter)) {
    int lowest = 100;
    int highest = -100;
    for (const std::size_t i : group) {
      for (const StaffNote& note : events[i].notes) {
        lowest = std::min(lowest, staff_position(note.pitch, staff.clef));
        highest = std::max(highest, staff_position(note.pitch, staff.clef));
      }
      beamed[i] = true;
    }
    const bool up = staff.clef == Clef::rhythm || lowest > highest || stem_goes_up(lowest, highest);
    for (std::size_t& i : group) {
      directions[i] = up;
      i += first;
    }
    staff.beam_groups.push_back(group);
  }
  for (std::size_t i = 0; i < events.size(); ++i) {
    const StaffEvent* const before = staff.events.empty() ? nullptr : staff.events.back().event;
    const auto held = before == nullptr ? std::set<std::pair<int, int>>{} : tied_pitches(*before);
    std::vector<std::optional<Glyph>> accidentals;
    for (const StaffNote& note : events[i].notes) {
      const bool tied = note.from_before || held.contains({staff_step(note.pitch), note.pitch.name().alteration()});
      accidentals.push_back(signs.sign_for(note.pitch, tied));
    }
    staff.events.push_back(
        {&events[i], shape_event(events[i], staff.clef, directions[i], accidentals, beamed[i]), bar, 0, 0, 0});
  }
}

double SystemEngraver::prefix_width() const {
  double clef = 0;
  for (const Staff& staff : staves_) clef = std::max(clef, clef_width(staff.clef, 1));
  double width = 0;
  if (system_.shows_key && clef > 0) {
    width = clef_left + clef;
    const double signature = signature_width(system_.key, 1);
    if (signature > 0) width += prefix_gap + signature;
  }
  if (system_.shows_meter) width += prefix_gap + meter_width(*system_.shows_meter, 1);
  return width;
}

void SystemEngraver::make_columns() {
  columns_.push_back({});
  columns_.back().right = prefix_width();
  spacing_.push_back({});
  for (std::size_t bar = 0; bar < system_.bars.size(); ++bar) {
    const StaffBar& content = system_.bars[bar];
    if (content.left != BarLine::none) {
      columns_.push_back({true, content.left, bar, {}, 0, bar_line_width(content.left, 1), false});
      spacing_.push_back({});
    }
    add_note_columns(bar);
    columns_.push_back({true, content.right, bar, {}, 0, bar_line_width(content.right, 1), false});
    spacing_.push_back({});
  }
}

void SystemEngraver::add_note_columns(std::size_t bar) {
  const StaffBar& content = system_.bars[bar];
  std::set<Beats> times{content.begins};
  for (const auto& staff : content.staves) {
    for (const StaffEvent& event : staff) times.insert(event.start);
  }
  for (const StaffLabel& label : content.labels) times.insert(label.at);
  const Beats length = content.meter.bar_length();
  for (auto time = times.begin(); time != times.end(); ++time) {
    const auto next = std::next(time);
    const Beats until = (next == times.end() ? length : *next) - *time;
    Column column{false, BarLine::none, bar, *time, 0, 0, false};
    for (Staff& staff : staves_) {
      for (Placed& placed : staff.events) {
        if (placed.bar != bar || placed.event->start != *time) continue;
        placed.column = columns_.size();
        if (placed.event->whole_bar) continue;
        column.left = std::max(column.left, placed.shape.left);
        column.right = std::max(column.right, placed.shape.right);
        for (const StaffNote& note : placed.event->notes) column.ties = column.ties || note.tied;
      }
    }
    const double ideal = quarter_space * std::sqrt(std::max(until.quarters(), 0.0));
    spacing_.push_back({next == times.end() ? 0.92 * ideal : ideal});
    columns_.push_back(column);
  }
}

std::size_t SystemEngraver::column_at(std::size_t bar, Beats time) const {
  for (std::size_t i = 0; i < columns_.size(); ++i) {
    if (!columns_[i].bar_line && i > 0 && columns_[i].bar == bar && columns_[i].time == time) return i;
  }
  return 0;
}

void SystemEngraver::set_distances() {
  const auto add = [&](std::size_t from, std::size_t to, double distance) {
    distances_.push_back({static_cast<int>(from), static_cast<int>(to), distance});
  };
  for (std::size_t i = 0; i + 1 < columns_.size(); ++i) {
    const Column& here = columns_[i];
    const Column& next = columns_[i + 1];
    double distance = here.right;
    if (next.bar_line) {
      distance += i == 0 ? prefix_gap : here.bar_line ? 0 : note_to_bar;
    } else if (i == 0) {
      distance += (here.right > 0 ? first_note : 1.0) + std::max(next.left - 0.5, 0.0);
    } else if (here.bar_line) {
      distance += std::max(bar_to_note, bar_to_sign + next.left);
    } else {
      distance += (here.ties ? tie_length : column_gap) + next.left;
    }
    add(i, i + 1, distance);
  }
  std::vector<std::vector<StaffLabel>> labels;
  std::size_t verses = 0;
  for (const StaffBar& bar : system_.bars) {
    labels.push_back(bar.labels);
    verses = std::max(verses, bar.syllables.size());
  }
  keep_apart(labels);
  for (std::size_t verse = 0; verse < verses; ++verse) {
    for (std::size_t bar = 0; bar < labels.size(); ++bar) {
      const auto& sung = system_.bars[bar].syllables;
      labels[bar] = verse < sung.size() ? sung[verse] : std::vector<StaffLabel>();
    }
    keep_apart(labels);
  }
  std::stable_sort(distances_.begin(), distances_.end(), [](const auto& a, const auto& b) { return a.to < b.to; });
}

void SystemEngraver::keep_apart(const std::vector<std::vector<StaffLabel>>& labels) {
  std::optional<std::pair<std::size_t, double>> before;
  for (std::size_t bar = 0; bar < system_.bars.size(); ++bar) {
    for (const StaffLabel& label : labels[bar]) {
      const std::size_t column = column_at(bar, label.at);
      if (before && column > before->first) {
        distances_.push_back(
            {static_cast<int>(before->first), static_cast<int>(column), before->second + label.before / space()});
      }
      before = {column, label.width / space()};
    }
  }
  if (!before) return;
  distances_.push_back({static_cast<int>(before->first), static_cast<int>(columns_.size() - 1), before->second});
}

void SystemEngraver::place(double width) {
  column_x_ = space_columns(spacing_, distances_, width - columns_.back().right);
  width_ = column_x_.back() + columns_.back().right;
  label_x_.resize(system_.bars.size());
  bar_left_.assign(system_.bars.size(), 0);
  bar_right_.assign(system_.bars.size(), 0);
  for (std::size_t i = 0; i < columns_.size(); ++i) {
    const Column& column = columns_[i];
    if (i == 0) bar_left_[0] = column.right;
    if (!column.bar_line) continue;
    const bool opens = column.line == BarLine::start_repeat;
    if (opens) {
      bar_left_[column.bar] = column_x_[i] + column.right;
      continue;
    }
    bar_right_[column.bar] = column_x_[i];
    if (column.bar + 1 < bar_left_.size()) bar_left_[column.bar + 1] = column_x_[i] + column.right;
  }
  for (std::size_t bar = 0; bar < system_.bars.size(); ++bar) {
    for (const StaffLabel& label : system_.bars[bar].labels)
      label_x_[bar].push_back(column_x_[column_at(bar, label.at)]);
  }
  for (Staff& staff : staves_) {
    for (Placed& placed : staff.events) {
      placed.x = column_x_[placed.column];
      if (placed.event->whole_bar) {
        placed.x = (bar_left_[placed.bar] + bar_right_[placed.bar] - placed.shape.head_width) / 2;
      }
    }
  }
}

void SystemEngraver::place_even_bars(double width) {
  width_ = width;
  const double start = prefix_width();
  const auto count = static_cast<double>(system_.bars.size());
  const double end_line = bar_line_width(system_.bars.back().right, 1);
  const double bar_width = (width - end_line - start) / count;
  column_x_.assign(columns_.size(), 0);
  label_x_.resize(system_.bars.size());
  for (std::size_t bar = 0; bar < system_.bars.size(); ++bar) {
    const StaffBar& content = system_.bars[bar];
    const double left = start + static_cast<double>(bar) * bar_width;
    bar_left_.push_back(left);
    bar_right_.push_back(left + bar_width);
    for (const StaffLabel& label : content.labels) {
      const double share = label.at.quarters() / content.meter.bar_length().quarters();
      label_x_[bar].push_back(left + 1.4 + share * (bar_width - 1.4));
    }
    for (std::size_t i = 0; i < columns_.size(); ++i) {
      if (columns_[i].bar_line && columns_[i].bar == bar && columns_[i].line != BarLine::start_repeat)
        column_x_[i] = left + bar_width;
    }
  }
}

void SystemEngraver::fit_beams() {
  for (Staff& staff : staves_) {
    for (const std::vector<std::size_t>& group : staff.beam_groups) {
      Beam made;
      made.first = group.front();
      for (const std::size_t i : group) {
        Placed& placed = staff.events[i];
        made.events.push_back({&placed.shape, placed.x, placed.event->value.power});
      }
      made.line = fit_beam(made.events);
      staff.beams.push_back(std::move(made));
    }
  }
}

void SystemEngraver::fit_tuplets(Staff& staff) {
  for (std::size_t i = 0; i < staff.events.size(); ++i) {
    const auto& tuplet = staff.events[i].event->tuplet;
    if (!tuplet || !tuplet->opens) continue;
    Tuplets made{i, i, 0, tuplet->actual, true};
    while (made.last + 1 < staff.events.size() && staff.events[made.last].event->tuplet &&
           !staff.events[made.last].event->tuplet->closes) {
      ++made.last;
    }
    double top = -2.4;
    for (std::size_t k = i; k <= made.last; ++k) top = std::min(top, staff.events[k].shape.top);
    made.y = top - 1.1;
    for (const auto& group : staff.beam_groups) {
      if (group.front() == i && group.back() == made.last) made.bracket = !staff.events[i].shape.up;
    }
    for (std::size_t k = i; k <= made.last; ++k) staff.events[k].shape.top = made.y - 0.9;
    staff.tuplets.push_back(made);
  }
}

void SystemEngraver::measure_staff(Staff& staff, bool above) {
  const double figure = finger_height() + 0.15;
  for (Placed& placed : staff.events) {
    int fingers = 0;
    for (const StaffNote& note : placed.event->notes) fingers += note.finger > 0 ? 1 : 0;
    double top = placed.shape.top;
    double bottom = placed.shape.bottom;
    if (above) {
      placed.finger_y = std::min(-2 - finger_staff_gap, top - finger_gap);
      if (fingers > 0) top = placed.finger_y - fingers * figure;
    } else {
      placed.finger_y = std::max(2 + finger_staff_gap, bottom + finger_gap);
      if (fingers > 0) bottom = placed.finger_y + fingers * figure;
    }
    staff.top = std::max(staff.top, -top - 2);
    staff.bottom = std::max(staff.bottom, bottom - 2);
  }
}

}  // namespace romanesca
