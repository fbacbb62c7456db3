#include "cli/formats/chart_grid.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <span>
#include <vector>

#include "cli/formats/wrapped_text.h"
#include "theory/chords/numeral_text.h"
#include "theory/text/characters.h"

namespace romanesca {
namespace {

/// One bar as lines of equal cells.
struct BarCell {
  std::string symbols, numerals, words;
  [[nodiscard]] std::size_t width() const {
    return std::max({code_points(symbols), code_points(numerals), code_points(words)});
  }
};

std::vector<BarCell> cells_of(const Progression& progression, const Analysis& analysis) {
  const std::vector<std::string> words = words_by_chord(progression);
  std::vector<BarCell> cells(static_cast<std::size_t>(analysis.timeline.bars));
  for (std::size_t i = 0; i < analysis.chords.size(); ++i) {
    const AnalysedChord& each = analysis.chords[i];
    const std::string sung(trimmed(i < words.size() ? words[i] : std::string()));
    BarCell& cell = cells[static_cast<std::size_t>(each.timed.bar - 1)];
    std::string symbol = each.timed.held    ? "/"
                         : each.timed.chord ? name_in(*each.timed.chord, progression.names)
                                            : "N.C.";
    std::string numeral = each.reading && !each.timed.held ? to_string(each.reading->numeral) : "";
    const std::size_t width = std::max({code_points(symbol), code_points(numeral), code_points(sung)});
    if (!cell.symbols.empty()) {
      for (std::string* line : {&cell.symbols, &cell.numerals, &cell.words}) *line += "  ";
    }
    cell.symbols += padded(symbol, width);
    cell.numerals += padded(numeral, width);
    cell.words += padded(sung, width);
  }
  return cells;
}

/// How many bars go in a row: four, two or one, by what the widest bar allows.
std::size_t bars_in_row(std::size_t cell_width, int width) {
  for (const std::size_t count : {std::size_t{4}, std::size_t{2}}) {
    if (count * (cell_width + 3) + 1 <= static_cast<std::size_t>(std::max(width, 1))) return count;
  }
  return 1;
}

/// Lines of bars as they stand on paper, with the signs of the form.
class GridWriter {
 public:
  GridWriter(const Progression& progression, const Analysis& analysis, int width)
      : names_(progression.names),
        timeline_(analysis.timeline),
        form_(printed_form(progression)),
        cells_(cells_of(progression, analysis)) {
    for (const BarCell& cell : cells_) cell_width_ = std::max(cell_width_, cell.width());
    for (const PrintedSection& section : form_.sections) {
      for (const PrintedBar& bar : section.bars) {
        if (bar.opens || bar.closes > 0) before_ = after_ = 2;
      }
    }
    per_row_ = bars_in_row(cell_width_ + before_ + after_ - 2, width);
  }

  std::string write() {
    for (const PrintedSection& section : form_.sections) {
      if (section.bars.empty()) continue;
      add_heading(section);
      if (!section.is_recall()) add_rows(section);
      if (section.jump != Jump::none) text_ += std::string(to_string(section.jump)) + "\n";
    }
    return std::move(text_);
  }

 private:
  void add_heading(const PrintedSection& section) {
    if (section.name.empty()) return;
    text_ += fmt::format("{}[{}]", text_.empty() ? "" : "\n", section.name);
    if (section.times > 1) text_ += fmt::format(" x{}", section.times);
    if (section.is_recall())
      text_ += section.same_as == section.name ? "  as before" : fmt::format("  as {}", section.same_as);
    text_ += "\n";
  }

  void add_rows(const PrintedSection& section) {
    for (std::size_t from = 0; from < section.bars.size();) {
      std::size_t to = std::min(from + per_row_, section.bars.size());
      // A first ending that comes last in a row goes to the next one, under which the second then stands.
      for (std::size_t i = from + 1; i < to; ++i) {
        if (section.bars[i].ending > 0 && i + 1 == to && to < section.bars.size()) to = i;
      }
      const std::span<const PrintedBar> bars(section.bars.data() + from, to - from);
      add_labels(bars);
      add_symbols(bars);
      add_line(bars, &BarCell::numerals);
      add_line(bars, &BarCell::words);
      last_ = bars.back().bar;
      from = to;
    }
  }

  [[nodiscard]] const BarCell& cell(const PrintedBar& bar) const {
    return cells_[static_cast<std::size_t>(bar.bar) - 1];
  }
  [[nodiscard]] std::size_t column_of(std::size_t bar_in_row) const {
    return bar_in_row * (1 + before_ + cell_width_ + after_);
  }

  /// What stands over a bar: endings, signs, another meter, key or tempo.
  [[nodiscard]] std::string label_of(const PrintedBar& bar, int bar_before) const {
    std::vector<std::string> labels;
    if (bar.segno) labels.emplace_back("Segno");
    if (bar.coda) labels.emplace_back("Coda");
    if (bar.ending > 0) {
      labels.push_back(bar.ending == bar.ending_to ? fmt::format("{}.", bar.ending)
                                                   : fmt::format("{}.-{}.", bar.ending, bar.ending_to));
    }
    for (const StatedKey& stated : timeline_.keys) {
      if (stated.bar == bar.bar) labels.push_back(fmt::format("in {}", name_in(stated.key.tonic, names_)));
    }
    const Meter meter = timeline_.meters.at(bar.bar);
    if (bar_before > 0 && meter != timeline_.meters.at(bar_before)) labels.push_back(to_string(meter));
    for (const StatedTempo& stated : timeline_.tempos) {
      if (stated.bar == bar.bar) labels.push_back(fmt::format("tempo {}", stated.bpm));
    }
    if (bar.fine) labels.emplace_back("Fine");
    if (bar.to_coda) labels.emplace_back("To Coda");
    return fmt::format("{}", fmt::join(labels, ", "));
  }

  void add_labels(std::span<const PrintedBar> bars) {
    std::string line;
    int before = last_;
    for (std::size_t i = 0; i < bars.size(); ++i) {
      const std::string label = label_of(bars[i], before);
      before = bars[i].bar;
      if (label.empty()) continue;
      line = padded(line, std::max(line.empty() ? 0 : code_points(line) + 1, column_of(i)));
      line += label;
    }
    if (!line.empty()) text_ += line + "\n";
  }

  void add_symbols(std::span<const PrintedBar> bars) {
    std::string line = "|";
    for (const PrintedBar& bar : bars) {
      line += padded(bar.opens ? ":" : "", before_) + padded(cell(bar).symbols, cell_width_);
      line += std::string(after_ - 1, ' ') + (bar.closes > 0 ? ":|" : " |");
      if (bar.closes > 2) line += fmt::format(" x{} ", bar.closes);
    }
    line.erase(line.find_last_not_of(' ') + 1);
    text_ += line + "\n";
  }

  void add_line(std::span<const PrintedBar> bars, std::string BarCell::*what) {
    std::string line;
    for (std::size_t i = 0; i < bars.size(); ++i)
      line = padded(line, column_of(i) + 1 + before_) + padded(cell(bars[i]).*what, cell_width_);
    line.erase(line.find_last_not_of(' ') + 1);
    if (!line.empty() || what == &BarCell::numerals) text_ += line + "\n";
  }

  NoteNames names_;
  const Timeline& timeline_;
  PrintedForm form_;
  std::vector<BarCell> cells_;
  std::size_t cell_width_ = 4, before_ = 1, after_ = 1, per_row_ = 4;
  int last_ = 0;  // the bar before
  std::string text_;
};

}  // namespace

std::string heading_line(const Progression& progression, const Key& key) {
  std::string line = name_in(key, progression.names);
  if (progression.tempo_bpm) line += fmt::format(", {} beats a minute", *progression.tempo_bpm);
  line += ", " + to_string(progression.meter());
  if (!progression.style.empty()) line += ", " + progression.style;
  if (progression.capo != 0) {
    Progression shapes;
    shapes.capo = progression.capo;
    shapes.key = KeyText{key.tonic, key.mode};
    const KeyText played = *shapes_with_capo(shapes).key;
    line += fmt::format(", guitar with capo {}: shapes of {}", progression.capo,
                        name_in(Key{played.tonic, played.mode.value_or(key.mode)}, progression.names));
  }
  return line;
}

std::string chart_grid(const Progression& progression, const Analysis& analysis, int width) {
  return GridWriter(progression, analysis, width).write();
}

}  // namespace romanesca
