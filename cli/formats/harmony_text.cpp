#include "cli/formats/harmony_text.h"

#include <fmt/format.h>

#include <algorithm>

#include "cli/formats/wrapped_text.h"
#include "theory/harmony/tune_spans.h"

namespace romanesca {
namespace {

constexpr std::size_t most_bars_in_line = 4;

/// One line of the table: a word before it, and a cell for each bar.
struct TableRow {
  std::string head;
  std::vector<std::string> cells;
};

/// The names of the notes that begin in each bar: "-" where one is held on, "." in silence.
TableRow tune_row(const HarmonyReport& report, int bars) {
  TableRow row{"tune", std::vector<std::string>(static_cast<std::size_t>(bars))};
  for (const TuneNote& note : report.tune->notes) {
    const Beats end = note.start + note.length;
    const int first = note.start < Beats(0) ? 0 : report.meters.bar_at(note.start);
    for (int bar = first; bar <= bars; ++bar) {
      const Beats bar_start = bar == 0 ? Beats(-1) : report.meters.start_of(bar);
      if (bar_start >= end) break;
      if (bar == 0) continue;
      std::string& cell = row.cells[static_cast<std::size_t>(bar - 1)];
      cell += (cell.empty() ? "" : " ") + (bar == first ? to_string(note.pitch.name()) : "-");
    }
  }
  for (std::string& cell : row.cells) {
    if (cell.empty()) cell = ".";
  }
  return row;
}

bool rubs_with(const HarmonyChoice& choice, const TimedChord& chord) {
  return std::any_of(choice.rubs.begin(), choice.rubs.end(), [&](const OutsideNote& note) {
    return chord.start <= note.start && note.start < chord.start + chord.length;
  });
}

TableRow chord_row(const HarmonyChoice& choice, std::size_t index, int bars) {
  TableRow row{choice_letter(index), std::vector<std::string>(static_cast<std::size_t>(bars))};
  for (const TimedChord& chord : choice.analysis.timeline.chords) {
    std::string& cell = row.cells[static_cast<std::size_t>(chord.bar - 1)];
    cell += (cell.empty() ? "" : " ") + to_string(*chord.chord) + (rubs_with(choice, chord) ? "*" : "");
  }
  return row;
}

/// As many bars in a line as the width has room for, at most four.
std::string table_text(const std::vector<TableRow>& rows, int bars, int width) {
  std::string text;
  for (std::size_t first = 0; first < static_cast<std::size_t>(bars);) {
    std::vector<std::size_t> widths;
    std::size_t total = 6;
    while (widths.size() < most_bars_in_line && first + widths.size() < static_cast<std::size_t>(bars)) {
      std::size_t cell = 1;
      for (const TableRow& row : rows) cell = std::max(cell, row.cells[first + widths.size()].size());
      if (!widths.empty() && total + cell + 3 > static_cast<std::size_t>(std::max(width, 20))) break;
      total += cell + 3;
      widths.push_back(cell);
    }
    text += fmt::format("{}bar {}\n", first == 0 ? "" : "\n", first + 1);
    for (const TableRow& row : rows) {
      std::string line = padded(row.head, 5);
      for (std::size_t i = 0; i < widths.size(); ++i) line += "| " + padded(row.cells[first + i], widths[i] + 1);
      text += line + "|\n";
    }
    first += widths.size();
  }
  return text;
}

std::string place_of(const OutsideNote& note) {
  return fmt::format("bar {}, beat {:g}: ", note.bar, note.beat.quarters());
}

/// At most a few, and how many more there are.
std::string notes_text(const std::vector<OutsideNote>& notes, const std::string& indent, int width) {
  constexpr std::size_t most = 4;
  std::string text;
  for (std::size_t i = 0; i < std::min(notes.size(), most); ++i) {
    text += wrapped(indent + "* ", place_of(notes[i]) + notes[i].text, width);
  }
  if (notes.size() > most) text += fmt::format("{}* and {} more\n", indent, notes.size() - most);
  return text;
}

std::string heading(const HarmonyReport& report, int bars) {
  const TuneKeyGuess& key = report.harmony.keys.front();
  std::string text = report.title.empty() ? "" : report.title + ": ";
  text += to_string(key.key);
  if (report.harmony.keys.size() > 1) {
    text += fmt::format(" ({:.0f} % sure)", 100 * key.confidence);
    const TuneKeyGuess& second = report.harmony.keys[1];
    constexpr double worth_telling = 0.1;
    if (second.confidence >= worth_telling) text += fmt::format(", perhaps {}", to_string(second.key));
  }
  return text + fmt::format(", {}, {} {}, level {}\n\n", to_string(report.meters.first()), bars,
                            bars == 1 ? "bar" : "bars", report.level);
}

}  // namespace

std::string choice_letter(std::size_t index) { return {static_cast<char>('A' + index)}; }

std::string harmony_text(const HarmonyReport& report, int width) {
  const int bars = tune_bars(*report.tune, report.meters);
  std::vector<TableRow> rows{tune_row(report, bars)};
  const auto& choices = report.harmony.choices;
  for (std::size_t i = 0; i < choices.size(); ++i) rows.push_back(chord_row(choices[i], i, bars));
  std::string text = heading(report, bars) + table_text(rows, bars, width) + "\n";
  for (std::size_t i = 0; i < choices.size(); ++i) {
    const std::string kind(to_string(choices[i].kind));
    text += wrapped(choice_letter(i) + "  ",
                    fmt::format("{}{}: {}", kind, i == 0 ? ", which fits best" : "", choices[i].reason), width);
    text += notes_text(choices[i].rubs, "   ", width);
  }
  if (report.had_chords) {
    text += "\n";
    if (report.outside.empty()) {
      text += "The song's own chords: every long note of the tune is in its chord.\n";
    } else {
      text += "The song's own chords, and long notes of the tune outside them:\n";
      text += notes_text(report.outside, "   ", width);
    }
  }
  return text;
}

}  // namespace romanesca
