#include "cli/formats/paper/chart_drawing.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "cli/formats/chart_grid.h"
#include "cli/formats/chart_text.h"
#include "cli/formats/paper/keyboard_marks.h"
#include "cli/formats/paper/page_flow.h"
#include "cli/formats/paper/staff_marks.h"
#include "cli/formats/paper/text_layout.h"
#include "theory/chords/numeral_text.h"
#include "theory/text/characters.h"

namespace romanesca {
namespace {

/// A chord in its bar: where it begins, as a share of the bar, and what is written.
struct Cell {
  double share = 0;
  std::string symbol, numeral, words;
  const HandsChord* hands = nullptr;
  bool open = false;  ///< to be found by the reader
};

class ChartSetter {
 public:
  ChartSetter(const Placement& placed, const Hands& hands, const PaperSettings& paper)
      : placed_(placed), hands_(hands), paper_(paper), scale_(paper.large ? 1.5 : 1.0), flow_(drawing_, paper) {}

  Drawing set() {
    const Progression& progression = placed_.progression;
    drawing_.title = progression.title.empty() ? placed_.name : progression.title;
    if (drawing_.title == "progression") drawing_.title = "Chords";  // typed on the command line
    drawing_.description = fmt::format("{}. {}", heading_line(progression, placed_.key), description());
    heading();
    bars();
    keyboards();
    notes();
    if (drawing_.pages.size() > 1) number_pages();
    return std::move(drawing_);
  }

 private:
  [[nodiscard]] double size(double points) const { return points * scale_; }

  void text(double x, const std::string& words, double points, Weight weight, Ink ink, TextRole role) {
    flow_.marks().push_back(text_at(x, flow_.y(), words, points, weight, ink, role));
  }

  /// All chords in words, section by section, for those who cannot see the page.
  [[nodiscard]] std::string description() const {
    std::string words;
    std::uint32_t section = 0;
    int bar = 0;
    std::size_t index = 0;
    for (const AnalysedChord& each : placed_.analysis.chords) {
      const TimedChord& timed = each.timed;
      if (timed.section != section || bar == 0) {
        section = timed.section;
        const std::string& name = placed_.progression.sections[section].name;
        if (!name.empty()) words += name + ": ";
      }
      if (timed.bar != bar) words += fmt::format("bar {} ", timed.bar);
      bar = timed.bar;
      words += (timed.chord ? to_string(*timed.chord) : is_open(index) ? "to be found" : "no chord") + ", ";
      ++index;
    }
    return words.substr(0, words.size() - std::min<std::size_t>(2, words.size()));
  }

  void heading() {
    double points = size(22);
    const double wide = text_width(drawing_.title, points, Weight::bold);
    if (wide > flow_.width()) points *= flow_.width() / wide;
    flow_.down(size(20));
    text(margin, drawing_.title, points, Weight::bold, Ink::text, TextRole::title);
    flow_.down(size(17));
    text(margin, heading_line(placed_.progression, placed_.key), size(10.5), Weight::regular, Ink::quiet,
         TextRole::note);
    flow_.down(size(8));
    flow_.marks().push_back(LineMark{margin, flow_.y(), margin + flow_.width(), flow_.y(), 1.6, Ink::accent});
    flow_.down(size(6));
  }

  [[nodiscard]] bool is_open(std::size_t chord) const {
    return std::binary_search(paper_.open_chords.begin(), paper_.open_chords.end(), chord);
  }

  [[nodiscard]] std::vector<std::vector<Cell>> cells() const {
    const Timeline& timeline = placed_.analysis.timeline;
    std::vector<std::vector<Cell>> bars(static_cast<std::size_t>(timeline.bars));
    const std::vector<std::string> words = words_by_chord(placed_.progression);
    for (std::size_t i = 0; i < placed_.analysis.chords.size(); ++i) {
      const AnalysedChord& each = placed_.analysis.chords[i];
      const TimedChord& timed = each.timed;
      const Beats in_bar = timed.start - timeline.meter.bar_length() * (timed.bar - 1);
      Cell cell;
      cell.share = in_bar.quarters() / timeline.meter.bar_length().quarters();
      cell.open = is_open(i);
      cell.symbol = timed.held ? "/" : timed.chord ? to_string(*timed.chord) : "N.C.";
      if (each.reading && !timed.held) cell.numeral = to_string(each.reading->numeral);
      if (timed.chord) cell.hands = &hands_.chords[i];
      if (i < words.size()) cell.words = trimmed(words[i]);
      bars[static_cast<std::size_t>(timed.bar - 1)].push_back(std::move(cell));
    }
    return bars;
  }

  [[nodiscard]] static double cell_width(const Cell& cell, double points) {
    if (cell.open) return 4 * points;  // room for a name by hand
    return std::max({text_width(cell.symbol, points, Weight::bold),
                     text_width(cell.numeral, 0.6 * points, Weight::regular),
                     cell.words.empty() ? 0.0 : text_width(cell.words, 0.6 * points, Weight::regular)}) +
           0.5 * points;
  }

  [[nodiscard]] static double bar_width(const std::vector<Cell>& bar, double points) {
    double width = 0.5 * points;
    for (const Cell& cell : bar) width += cell_width(cell, points);
    return width;
  }

  /// Places of the chords in a bar: by their time if there is room, else one after another.
  [[nodiscard]] static std::vector<double> places(const std::vector<Cell>& bar, double x, double width, double points) {
    std::vector<double> result;
    double end = 0;
    for (const Cell& cell : bar) {
      const double at = std::max(end, cell.share * width);
      result.push_back(at);
      end = at + cell_width(cell, points);
    }
    if (end > width) {
      end = 0;
      for (std::size_t i = 0; i < bar.size(); ++i) {
        result[i] = end;
        end += cell_width(bar[i], points);
      }
    }
    for (double& place : result) place += x + 0.4 * points;
    return result;
  }

  void bars() {
    const auto all = cells();
    for (const auto& bar : all) {
      sung_ = sung_ || std::any_of(bar.begin(), bar.end(), [](const Cell& cell) { return !cell.words.empty(); });
    }
    double points = size(17);
    double widest = 0;
    for (const auto& bar : all) widest = std::max(widest, bar_width(bar, points));
    const double head = paper_.staves ? grand_staff_head(staff_space(), placed_.key) : 0;
    const double room = flow_.width() - head;
    std::size_t in_row = 1;
    for (const std::size_t count : {std::size_t{2}, std::size_t{4}}) {
      if (static_cast<double>(count) * widest <= room && !(paper_.large && count > 2)) in_row = count;
    }
    if (widest > room) points *= room / widest;  // a bar with very many chords

    std::size_t bar = 0;
    while (bar < all.size()) {
      const std::size_t section = section_of(bar);
      const bool begins = bar == 0 || section_of(bar - 1) != section;
      std::size_t end = bar;
      while (end < all.size() && end < bar + in_row && section_of(end) == section) ++end;
      const std::string& name = placed_.progression.sections[section].name;
      const bool headed = begins && !name.empty();
      flow_.keep((headed ? size(26) : 0) + row_height(points));
      if (headed) {
        flow_.down(size(20));
        text(margin, name, size(12), Weight::bold, Ink::accent, TextRole::heading);
        flow_.down(size(6));
      }
      row({all.begin() + static_cast<std::ptrdiff_t>(bar), all.begin() + static_cast<std::ptrdiff_t>(end)}, bar, in_row,
          head, points);
      bar = end;
    }
  }

  [[nodiscard]] double staff_space() const { return size(4.6); }
  [[nodiscard]] double row_height(double points) const {
    return head_height(points) + 0.35 * points + (paper_.staves ? grand_staff_height(staff_space()) : 0);
  }

  /// From the top of a row to its staves: chords, numerals, words.
  [[nodiscard]] double head_height(double points) const { return (sung_ ? 2.8 : 2.0) * points; }

  [[nodiscard]] std::size_t section_of(std::size_t bar) const {
    const auto& chords = placed_.analysis.timeline.chords;
    const auto found = std::lower_bound(chords.begin(), chords.end(), static_cast<int>(bar) + 1,
                                        [](const TimedChord& timed, int number) { return timed.bar < number; });
    return found == chords.end() ? chords.back().section : found->section;
  }

  void row(const std::vector<std::vector<Cell>>& row_bars, std::size_t first_bar, std::size_t in_row, double head,
           double points) {
    const double width = (flow_.width() - head) / static_cast<double>(in_row);
    const double top = flow_.y() + 0.35 * points;
    const double length = head_height(points) + (paper_.staves ? grand_staff_depth(staff_space()) : -size(3));
    std::vector<StaffChord> on_staff;
    for (std::size_t i = 0; i < row_bars.size(); ++i) {
      const double x = margin + head + static_cast<double>(i) * width;
      const std::vector<double> at = places(row_bars[i], x, width, points);
      for (std::size_t k = 0; k < at.size(); ++k) {
        const Cell& cell = row_bars[i][k];
        auto& marks = flow_.marks();
        if (cell.open) {
          marks.push_back(BoxMark{
              {at[k], top + 0.05 * points, cell_width(cell, points), 1.2 * points}, Ink::paper, Ink::quiet, 0.8});
          continue;
        }
        marks.push_back(
            text_at(at[k], top + 0.95 * points, cell.symbol, points, Weight::bold, Ink::text, TextRole::chord));
        if (!cell.numeral.empty()) {
          marks.push_back(text_at(at[k], top + 1.68 * points, cell.numeral, 0.6 * points, Weight::regular, Ink::accent,
                                  TextRole::numeral));
        }
        if (!cell.words.empty()) {
          marks.push_back(text_at(at[k], top + 2.45 * points, cell.words, 0.6 * points, Weight::regular, Ink::text,
                                  TextRole::note));
        }
        if (cell.hands != nullptr) on_staff.push_back({at[k] + 0.5 * points, cell.hands});
      }
      bar_line(x, top, length, i == 0);
      if (i == 0) {
        flow_.marks().push_back(text_at(x - head - size(16), top + size(8), std::to_string(first_bar + 1), size(7),
                                        Weight::regular, Ink::quiet, TextRole::note));
      }
      if (i + 1 == row_bars.size()) bar_line(x + width, top, length, false);
    }
    if (paper_.staves) {
      const double staves_width = head + static_cast<double>(row_bars.size()) * width;
      add_grand_staff(flow_.marks(),
                      {margin, top + head_height(points), staves_width, grand_staff_height(staff_space())},
                      staff_space(), placed_.key, on_staff);
    }
    flow_.down(row_height(points));
  }

  void bar_line(double x, double top, double length, bool first_of_row) {
    flow_.marks().push_back(LineMark{x, top, x, top + length, first_of_row ? 1.2 : 0.7, Ink::quiet});
  }

  /// A chord with the hands that play it, each different one once.
  struct Shape {
    const Chord* chord = nullptr;
    const HandsChord* hands = nullptr;
    std::vector<int> bars;  ///< where it is played
  };

  [[nodiscard]] std::vector<Shape> shapes() const {
    std::vector<Shape> result;
    std::map<std::string, std::size_t> places;
    for (std::size_t i = 0; i < hands_.chords.size(); ++i) {
      const TimedChord& timed = placed_.analysis.chords[i].timed;
      if (!timed.chord || timed.held) continue;
      const std::string name = to_string(*timed.chord) + " " + note_names(hands_.chords[i]);
      const auto [place, is_new] = places.try_emplace(name, result.size());
      if (is_new) result.push_back({&*timed.chord, &hands_.chords[i], {}});
      std::vector<int>& bars = result[place->second].bars;
      if (bars.empty() || bars.back() != timed.bar) bars.push_back(timed.bar);
    }
    return result;
  }

  /// Layout of the keyboards: number in a row, height of the keys in points.
  struct KeyboardGrid {
    std::size_t columns = 2;
    double keys = 50;
    [[nodiscard]] double row(double scale) const { return keys + 36 * scale; }
  };

  /// The largest keyboards with which the chart still fits on its page; the largest of all where none does.
  [[nodiscard]] KeyboardGrid keyboard_grid(std::size_t count, double room) const {
    const std::size_t columns = paper_.large ? 1 : 2;
    for (const KeyboardGrid& grid :
         {KeyboardGrid{columns, size(58)}, KeyboardGrid{columns, size(50)}, KeyboardGrid{columns, size(44)},
          KeyboardGrid{columns, size(38)}, KeyboardGrid{columns + 1, size(38)}}) {
      const std::size_t rows = (count + grid.columns - 1) / grid.columns;
      if (static_cast<double>(rows) * grid.row(scale_) <= room) return grid;
    }
    return {columns, size(50)};
  }

  void keyboards() {
    const std::vector<Shape> all = shapes();
    if (all.empty()) return;
    const double heading_height = size(30);
    const KeyboardGrid grid = keyboard_grid(all.size(), flow_.left() - heading_height - notes_height());
    flow_.keep(heading_height + grid.row(scale_));
    flow_.down(size(24));
    text(margin, "Hands", size(12), Weight::bold, Ink::accent, TextRole::heading);
    add_hands_legend(flow_.marks(), margin + size(60), flow_.y(), size(8.5));
    flow_.down(size(6));
    const double gap = size(18);
    const double width =
        (flow_.width() - gap * static_cast<double>(grid.columns - 1)) / static_cast<double>(grid.columns);
    for (std::size_t i = 0; i < all.size(); ++i) {
      const std::size_t column = i % grid.columns;
      if (column == 0) flow_.keep(grid.row(scale_));
      keyboard(margin + static_cast<double>(column) * (width + gap), width, all[i], grid.keys);
      if (column + 1 == grid.columns || i + 1 == all.size()) flow_.down(grid.row(scale_));
    }
  }

  [[nodiscard]] double notes_height() const {
    return size(18) + size(12) * static_cast<double>(hands_.broken_rules.size());
  }

  /// ", bars 1, 5, 9": the first few.
  [[nodiscard]] static std::string bars_text(const std::vector<int>& bars) {
    constexpr std::size_t most = 3;
    std::string text = bars.size() == 1 ? ", bar" : ", bars";
    for (std::size_t i = 0; i < std::min(most, bars.size()); ++i)
      text += fmt::format("{} {}", i > 0 ? "," : "", bars[i]);
    return bars.size() > most ? text + " ..." : text;
  }

  [[nodiscard]] static std::string note_names(const HandsChord& chord) {
    std::string names = "L";
    for (const Pitch& note : chord.left) names += " " + to_string(note);
    names += "   R";
    for (const Pitch& note : chord.right) names += " " + to_string(note);
    return names;
  }

  void keyboard(double x, double width, const Shape& shape, double keys) {
    const HandsChord& hands = *shape.hands;
    const std::string symbol = to_string(*shape.chord);
    auto& marks = flow_.marks();
    marks.push_back(text_at(x, flow_.y() + size(12), symbol, size(11.5), Weight::bold, Ink::text, TextRole::note));
    const double after = x + text_width(symbol, size(11.5), Weight::bold) + size(8);
    marks.push_back(text_at(after, flow_.y() + size(12),
                            layout_name(hands_.kind, *shape.chord, hands) + bars_text(shape.bars), size(8.5),
                            Weight::regular, Ink::quiet, TextRole::note));
    const Box box = add_keyboard(marks, {x, flow_.y() + size(17), width, keys}, hands);
    marks.push_back(text_at(x, box.y + box.height + size(10.5), note_names(hands), size(8), Weight::regular, Ink::quiet,
                            TextRole::note));
  }

  void notes() {
    for (const BrokenRule& each : hands_.broken_rules) {
      flow_.keep(size(14));
      flow_.down(size(12));
      text(margin, fmt::format("Bar {}: {}", placed_.analysis.chords[each.chord].timed.bar, each.text), size(8),
           Weight::regular, Ink::quiet, TextRole::note);
    }
    flow_.keep(size(16));
    flow_.down(size(14));
    const std::string advice = paper_.advice.empty() ? "" : paper_.advice + " ";
    text(margin, advice + "Stop if a stretch hurts.", size(8), Weight::regular, Ink::quiet, TextRole::note);
  }

  void number_pages() {
    const std::size_t count = drawing_.pages.size();
    for (std::size_t i = 0; i < count; ++i) {
      drawing_.pages[i].marks.push_back(text_centred(paper_.width / 2, paper_.height - margin + 8,
                                                     fmt::format("{} / {}", i + 1, count), size(8.5), Weight::regular,
                                                     Ink::quiet, TextRole::note));
    }
  }

  const Placement& placed_;
  const Hands& hands_;
  PaperSettings paper_;
  double scale_;
  bool sung_ = false;  // a chord has words under it
  Drawing drawing_;
  PageFlow flow_;
};

}  // namespace

Drawing chart_drawing(const Placement& placed, const Hands& hands, const PaperSettings& paper) {
  return ChartSetter(placed, hands, paper).set();
}

}  // namespace romanesca
