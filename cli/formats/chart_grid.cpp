#include "cli/formats/chart_grid.h"

#include <fmt/format.h>

#include <algorithm>
#include <vector>

#include "cli/formats/wrapped_text.h"
#include "theory/chords/numeral_text.h"
#include "theory/text/characters.h"

namespace romanesca {
namespace {

/// One bar as lines of equal cells.
struct BarCell {
  std::string symbols, numerals, words;
  std::size_t section = 0;
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
    cell.section = each.timed.section;
    std::string symbol = each.timed.held ? "/" : each.timed.chord ? to_string(*each.timed.chord) : "N.C.";
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

std::string line_of(const std::vector<BarCell>& cells, std::size_t from, std::size_t to, std::size_t width,
                    std::string BarCell::*what) {
  const bool symbols = what == &BarCell::symbols;
  std::string line = symbols ? "|" : " ";
  for (std::size_t i = from; i < to; ++i) line += " " + padded(cells[i].*what, width) + (symbols ? " |" : "  ");
  line.erase(line.find_last_not_of(' ') + 1);
  return line + "\n";
}

}  // namespace

std::string heading_line(const Progression& progression, const Key& key) {
  std::string line = to_string(key);
  if (progression.tempo_bpm) line += fmt::format(", {} beats a minute", *progression.tempo_bpm);
  line += ", " + to_string(progression.meter());
  if (!progression.style.empty()) line += ", " + progression.style;
  if (progression.capo != 0) {
    Progression shapes;
    shapes.capo = progression.capo;
    shapes.key = KeyText{key.tonic, key.mode};
    const KeyText played = *shapes_with_capo(shapes).key;
    line += fmt::format(", guitar with capo {}: shapes of {}", progression.capo,
                        to_string(Key{played.tonic, played.mode.value_or(key.mode)}));
  }
  return line;
}

std::string chart_grid(const Progression& progression, const Analysis& analysis, int width) {
  const std::vector<BarCell> cells = cells_of(progression, analysis);
  std::size_t widest = 4;
  for (const BarCell& cell : cells) widest = std::max(widest, cell.width());
  const std::size_t per_row = bars_in_row(widest, width);
  std::string text;
  for (std::size_t from = 0; from < cells.size();) {
    const std::size_t section = cells[from].section;
    if (from == 0 || section != cells[from - 1].section) {
      const std::string& name = progression.sections[section].name;
      if (!name.empty()) text += fmt::format("{}[{}]\n", from == 0 ? "" : "\n", name);
    }
    std::size_t to = from;
    while (to < cells.size() && to - from < per_row && cells[to].section == section) ++to;
    text += line_of(cells, from, to, widest, &BarCell::symbols) + line_of(cells, from, to, widest, &BarCell::numerals);
    if (const std::string sung = line_of(cells, from, to, widest, &BarCell::words); sung != "\n") text += sung;
    from = to;
  }
  return text;
}

}  // namespace romanesca
