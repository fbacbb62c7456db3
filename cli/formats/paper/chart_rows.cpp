#include "cli/formats/paper/chart_rows.h"

#include <algorithm>
#include <array>

#include "cli/formats/engraving/staff_signs.h"
#include "cli/formats/paper/chord_lettering.h"
#include "cli/formats/paper/form_signs.h"
#include "cli/formats/paper/text_layout.h"

namespace romanesca {
namespace {

// Points, at usual size.
constexpr double line_height = 29;  // of bar lines
constexpr double chord_baseline = 13.5;
constexpr double numeral_baseline = 27;
constexpr double words_baseline = 40.5;
constexpr double words_leading = 11.5;
constexpr double words_size = 9.2;
constexpr double numeral_size = 10.5;
constexpr double first_chord = 9;  // behind the bar line
constexpr double between_chords = 5;
constexpr double sign_space = 3.9;  // of the staff that shows the key
constexpr double sign_height = 30;  // with its clef
constexpr double section_size = 11.5;
constexpr double section_leading = 14;

Lettering symbol_of(const AnalysedChord& chord, const ChartChord& printed, double size, NoteNames names) {
  if (printed.held) return Lettering::words("/", size);
  return chord.timed.chord ? Lettering::chord(*chord.timed.chord, size, names) : Lettering::words("N.C.", size);
}

}  // namespace

ChartRowSetter::ChartRowSetter(PageFlow& flow, const Placement& placed, std::vector<ChartBar> bars,
                               ChartRowSettings settings)
    : flow_(flow),
      placed_(placed),
      bars_(std::move(bars)),
      settings_(settings),
      scale_(flow.paper().scale()),
      left_column_(settings.left_column * flow.paper().scale()) {
  if (!bars_.empty()) first_number_ = bars_.front().number;
  choose_sizes();
  for (const ChartRow& row : chart_rows(bars_, in_row_)) plans_.push_back(plan(row));
}

Key ChartRowSetter::key_of(const ChartBar& bar) const {
  const auto& keys = placed_.analysis.keys.by_bar;
  const auto place = static_cast<std::size_t>(bar.played) - 1;
  return bar.key ? *bar.key : place < keys.size() ? keys[place] : placed_.key;
}

double ChartRowSetter::inset(const ChartBar& bar) const {
  double at = size(first_chord);
  if (bar.start_repeat) at += size(11);
  if (bar.meter) at += meter_width(*bar.meter, size(line_height) / 4) + size(4);
  return at;
}

double ChartRowSetter::numeral_width(const ChartChord& chord) const {
  if (!settings_.numerals || chord.numeral.empty()) return 0;
  double width = Lettering::numeral(chord.numeral, size(numeral_size)).width();
  if (!chord.key.empty()) width += text_width(chord.key + " ", size(numeral_size), Face::italic);
  return width;
}

double ChartRowSetter::chord_width(const ChartChord& chord, double chord_size) const {
  if (chord.open) return 3.2 * chord_size;
  double width = symbol_of(placed_.analysis.chords[chord.index], chord, chord_size, placed_.progression.names).width();
  width = std::max(width, numeral_width(chord));
  for (const std::string& word : lines_within(chord.words, 0, words_points(), Face::roman)) {
    width = std::max(width, text_width(word, words_points(), Face::roman));
  }
  return width;
}

double ChartRowSetter::needed(const ChartBar& bar, double chord_size) const {
  double width = inset(bar) + (bar.end_repeat > 0 ? size(10) : 0);
  for (const ChartChord& chord : bar.chords) width += chord_width(chord, chord_size) + size(between_chords);
  return width;
}

/// Words are not made smaller than can be read from a music stand, unless a bar is overfull.
double ChartRowSetter::words_points() const {
  constexpr double readable = 9;
  constexpr double overfull = 0.85;
  return scale_ < overfull ? size(words_size) : std::max(size(words_size), readable);
}

double ChartRowSetter::section_room() const { return left_column_ - size(22); }

/// The section's name in two lines at most.
std::vector<std::string> ChartRowSetter::section_lines(const ChartBar& bar) const {
  if (!bar.begins_section || bar.section.empty()) return {};
  std::vector<std::string> lines = lines_within(bar.section, section_room(), size(section_size), Face::bold);
  for (std::size_t i = 2; i < lines.size(); ++i) lines[1] += " " + lines[i];
  lines.resize(std::min<std::size_t>(lines.size(), 2));
  return lines;
}

/// Four bars a line if the chords can be large enough to read from a music stand, else two, else one.
void ChartRowSetter::choose_sizes() {
  const bool large = flow_.paper().large;
  for (const std::size_t count : {std::size_t{4}, std::size_t{2}, std::size_t{1}}) {
    if (large && count > 2) continue;
    in_row_ = count;
    for (chord_size_ = size(15); chord_size_ >= size(11.5); chord_size_ -= size(0.5)) {
      const bool fits = std::all_of(bars_.begin(), bars_.end(), [&](const ChartBar& bar) {
        return bar.simile || needed(bar, chord_size_) <= bar_width();
      });
      if (fits) return;
    }
  }
  // A bar with very many chords.
  double widest = 1;
  for (const ChartBar& bar : bars_) widest = std::max(widest, needed(bar, chord_size_));
  while (widest > bar_width() && scale_ > 0.3) {
    scale_ *= 0.97;
    chord_size_ *= 0.97;
    widest = 1;
    for (const ChartBar& bar : bars_) widest = std::max(widest, needed(bar, chord_size_));
  }
}

/// By their time if there is room, else one after the other.
std::vector<double> ChartRowSetter::places(const ChartBar& bar) const {
  const double from = inset(bar);
  const double width = bar_width() - (bar.end_repeat > 0 ? size(10) : 0);
  std::vector<double> result;
  double end = from;
  for (const ChartChord& chord : bar.chords) {
    const double at = std::max(end, from + chord.share * (width - from));
    result.push_back(at);
    end = at + chord_width(chord, chord_size_) + size(between_chords);
  }
  if (end > width) {
    end = from;
    for (std::size_t i = 0; i < bar.chords.size(); ++i) {
      result[i] = end;
      end += chord_width(bar.chords[i], chord_size_) + size(between_chords);
    }
  }
  return result;
}

std::vector<std::string> ChartRowSetter::word_lines(const ChartBar& bar, const std::vector<double>& at,
                                                    std::size_t chord) const {
  const double end = chord + 1 < at.size() ? at[chord + 1] : bar_width() + size(first_chord) / 2;
  return lines_within(bar.chords[chord].words, end - at[chord] - size(between_chords), words_points(), Face::roman);
}

double ChartRowSetter::RowPlan::height(double scale) const {
  double under = 0;
  if (word_lines > 0) under = words_baseline - line_height + words_leading * static_cast<double>(word_lines - 1) + 3;
  if (recall) return 26 * scale;
  return over + std::max((line_height + under + 12) * scale, left_height);
}

/// A section that is played as one before: its name says all.
void ChartRowSetter::put_recall(const ChartBar& bar) {
  const double y = flow_.y() + size(chord_baseline);
  flow_.marks().push_back(text_at(flow_.left(), y,
                                  shortened(bar.section, section_room(), size(section_size), Face::bold),
                                  {size(section_size), Face::bold, Ink::accent, TextRole::heading, MarkKind::text}));
  flow_.marks().push_back(text_at(flow_.left() + left_column_, y, bar.remark, {size(10), Face::italic}));
}

ChartRowSetter::RowPlan ChartRowSetter::plan(const ChartRow& row) const {
  RowPlan plan{row, size(form_signs_height(std::span(bars_).subspan(row.first, row.count))), 0, 0};
  for (std::size_t i = 0; i < row.count; ++i) {
    const ChartBar& each = bar(row, i);
    if (each.simile) continue;
    const std::vector<double> at = places(each);
    for (std::size_t chord = 0; chord < each.chords.size(); ++chord) {
      plan.word_lines = std::max(plan.word_lines, word_lines(each, at, chord).size());
    }
  }
  const ChartBar& first = bar(row, 0);
  plan.recall = first.recall;
  if (first.begins_section) {
    if (first.number != first_number_) plan.over += size(4);
    plan.left_height += size(section_leading) * static_cast<double>(section_lines(first).size());
    if (!first.remark.empty()) plan.left_height += size(11);
  }
  if (shows_sign(first)) plan.left_height += size(sign_height) + size(8);
  return plan;
}

double ChartRowSetter::height() const {
  double height = 0;
  for (const RowPlan& each : plans_) height += each.height(scale_);
  return height;
}

void ChartRowSetter::set() {
  for (const RowPlan& each : plans_) {
    flow_.keep(each.height(scale_));
    if (bar(each.row, 0).recall) {
      put_recall(bar(each.row, 0));
    } else {
      put_row(each);
    }
    flow_.down(each.height(scale_));
  }
}

void ChartRowSetter::put_row(const RowPlan& plan) {
  const ChartRow& row = plan.row;
  const double top = flow_.y() + plan.over;
  put_left_column(row, top);
  const double left = flow_.left() + left_column_;
  const auto column = [&](std::size_t i) { return left + static_cast<double>(row.column + i) * bar_width(); };
  flow_.marks().push_back(
      text_ending(column(0) - size(7), top + size(7), std::to_string(bar(row, 0).number), {size(8), Face::italic}));
  for (std::size_t i = 0; i < row.count; ++i) {
    if (bar(row, i).simile) {
      put_simile(column(i) + bar_width() / 2, top);
    } else {
      put_bar(bar(row, i), column(i), top);
    }
  }
  put_lines(row, top);
  std::vector<double> edges;
  for (std::size_t i = 0; i <= row.count; ++i) edges.push_back(column(i));
  put_form_signs(flow_.marks(), std::span(bars_).subspan(row.first, row.count), edges, top, scale_);
}

void ChartRowSetter::put_left_column(const ChartRow& row, double top) {
  const ChartBar& first = bar(row, 0);
  double y = top;
  const double x = flow_.left();
  for (const std::string& line : section_lines(first)) {
    const double size_here = size(section_size);
    const std::string shown = shortened(line, section_room(), size_here, Face::bold);
    flow_.marks().push_back(text_at(x, y + size(chord_baseline) - size(2), shown,
                                    {size_here, Face::bold, Ink::accent, TextRole::heading, MarkKind::text}));
    y += size(section_leading);
  }
  const double room = section_room();
  if (first.begins_section && !first.remark.empty()) {
    flow_.marks().push_back(
        text_at(x, y + size(7), shortened(first.remark, room, size(8.5), Face::italic), {size(8.5), Face::italic}));
    y += size(11);
  }
  if (!shows_sign(first)) return;
  const double space = size(sign_space);
  const Key key = key_of(first);
  const double signature = signature_width(key, space);
  const double clef = clef_width(Clef::treble, space);
  const double staff_top = y + 2.2 * space + size(3);
  put_staff_lines(flow_.marks(), x, clef + signature + 1.6 * space, staff_top, space, Clef::treble);
  put_clef(flow_.marks(), x + 0.4 * space, staff_top, space, Clef::treble);
  put_signature(flow_.marks(), x + clef + 1.0 * space, staff_top, space, Clef::treble, key);
}

void ChartRowSetter::put_bar(const ChartBar& bar, double x, double top) {
  auto& marks = flow_.marks();
  const std::vector<double> at = places(bar);
  if (bar.meter) {
    const double space = size(line_height) / 4;
    put_meter(marks, x + size(bar.start_repeat ? 16 : 5), top, space, *bar.meter);
  }
  for (std::size_t i = 0; i < bar.chords.size(); ++i) {
    const ChartChord& chord = bar.chords[i];
    const double left = x + at[i];
    if (chord.open) {
      marks.push_back({BoxMark{{left, top + size(1), chord_width(chord, chord_size_), size(chord_baseline + 3)},
                               Ink::paper,
                               Ink::text,
                               0.8},
                       MarkKind::box, 0});
    } else {
      symbol_of(placed_.analysis.chords[chord.index], chord, chord_size_, placed_.progression.names)
          .put(marks, left, top + size(chord_baseline));
      if (settings_.numerals && !chord.numeral.empty()) {
        double numeral_x = left;
        const int group = next_group(marks);
        if (!chord.key.empty()) {
          marks.push_back(text_at(left, top + size(numeral_baseline), chord.key,
                                  {size(numeral_size), Face::italic, Ink::text, TextRole::numeral, MarkKind::numeral}));
          marks.back().group = group;
          numeral_x += text_width(chord.key + " ", size(numeral_size), Face::italic);
        }
        Lettering::numeral(chord.numeral, size(numeral_size))
            .put(marks, numeral_x, top + size(numeral_baseline), group);
      }
    }
    double y = top + size(words_baseline);
    for (const std::string& line : word_lines(bar, at, i)) {
      marks.push_back(
          text_at(left, y, line, {words_points(), Face::roman, Ink::text, TextRole::note, MarkKind::words}));
      y += size(words_leading);
    }
  }
}

/// The sign for "the same bar again": a stroke with two dots.
void ChartRowSetter::put_simile(double centre, double top) {
  auto& marks = flow_.marks();
  const double space = size(line_height) / 4;
  const double middle = top + size(line_height) / 2;
  const int group = next_group(marks);
  ShapeMark stroke;
  stroke.points = {{centre + 1.0 * space, middle - space},
                   {centre + 1.6 * space, middle - space},
                   {centre - 1.0 * space, middle + space},
                   {centre - 1.6 * space, middle + space}};
  marks.push_back({std::move(stroke), MarkKind::chord, group});
  const double half = shape_of(Glyph::dot).width() / 2 * space;
  for (const double side : {-1.0, 1.0}) {
    marks.push_back(
        {GlyphMark{Glyph::dot, centre + side * 1.15 * space - half, middle + side * 0.6 * space, space, Ink::text},
         MarkKind::chord, group});
  }
}

void ChartRowSetter::put_lines(const ChartRow& row, double top) {
  auto& marks = flow_.marks();
  const double bottom = top + size(line_height);
  const double space = size(4.6);  // bar lines as on a staff of this size
  const double middle = (top + bottom) / 2;
  const std::vector<double> dots{middle - 0.7 * space, middle + 0.7 * space};
  const double left = flow_.left() + left_column_ + static_cast<double>(row.column) * bar_width();
  for (std::size_t i = 0; i < row.count; ++i) {
    const ChartBar& here = bar(row, i);
    const double x = left + static_cast<double>(i) * bar_width();
    const bool after_repeat = i > 0 && bar(row, i - 1).end_repeat > 0;
    if (here.start_repeat) {
      put_bar_line(marks, x, top, bottom, space, BarLine::start_repeat, dots);
    } else if (i == 0 || !after_repeat) {
      put_bar_line(marks, x, top, bottom, space, BarLine::single, {});
    }
    const bool row_ends = i + 1 == row.count;
    BarLine line = BarLine::none;
    if (row_ends) line = BarLine::single;
    if (here.section_ends) line = BarLine::twofold;
    if (here.last) line = BarLine::final;
    if (here.end_repeat > 0) line = BarLine::end_repeat;
    if (line == BarLine::none) continue;
    const double width = bar_line_width(line, space);
    put_bar_line(marks, x + bar_width() - (row_ends ? width - space * 0.16 : width / 2), top, bottom, space, line,
                 dots);
  }
}

}  // namespace romanesca
