#include "cli/formats/chart_text.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>

#include "cli/formats/chart_grid.h"
#include "cli/formats/wrapped_text.h"
#include "theory/analysis/remarks.h"
#include "theory/text/characters.h"

namespace romanesca {
namespace {

std::string notes_text(const Voicing& voicing) {
  std::string text;
  for (const Pitch& note : voicing) text += (text.empty() ? "" : " ") + to_string(note);
  return text;
}

struct HandsRow {
  std::string bar, symbol, right, fingers, left, keep, shape;
};

std::vector<HandsRow> rows_of(const Placement& placed, const Hands& hands) {
  std::vector<HandsRow> rows;
  int bar_shown = 0;
  const std::vector<bool> on_paper = bars_on_paper(printed_form(placed.progression));
  for (std::size_t i = 0; i < hands.chords.size(); ++i) {
    const TimedChord& timed = placed.analysis.chords[i].timed;
    const HandsChord& chord = hands.chords[i];
    if (timed.held || !on_paper[static_cast<std::size_t>(timed.bar) - 1]) continue;
    HandsRow row{timed.bar == bar_shown ? "" : std::to_string(timed.bar), "N.C.", "", "", "", "", ""};
    bar_shown = timed.bar;
    if (timed.chord) {
      row.symbol = name_in(*timed.chord, placed.progression.names);
      row.right = notes_text(chord.right);
      row.fingers = fmt::format("{}", fmt::join(chord.right_fingers, " "));
      row.left = notes_text(chord.left);
      for (std::size_t n = 0; n < chord.stays.size(); ++n) {
        if (chord.stays[n]) row.keep += (row.keep.empty() ? "" : " ") + to_string(chord.right[n]);
      }
      row.shape = shape_name(hands.kind, chord.inversion);
    }
    rows.push_back(std::move(row));
  }
  return rows;
}

/// A line for each chord, in columns.
std::string table_text(std::vector<HandsRow> rows) {
  rows.insert(rows.begin(), {"bar", "chord", "right hand", "fingers", "left", "keep", "shape"});
  constexpr std::array columns{&HandsRow::bar,  &HandsRow::symbol, &HandsRow::right, &HandsRow::fingers,
                               &HandsRow::left, &HandsRow::keep,   &HandsRow::shape};
  std::array<std::size_t, columns.size()> widths{};
  for (const HandsRow& row : rows) {
    for (std::size_t c = 0; c < columns.size(); ++c) widths[c] = std::max(widths[c], code_points(row.*columns[c]));
  }
  std::string text;
  for (const HandsRow& row : rows) {
    std::string line;
    for (std::size_t c = 0; c < columns.size(); ++c) line += padded(row.*columns[c], widths[c]) + "  ";
    line.erase(line.find_last_not_of(' ') + 1);
    text += line + "\n";
  }
  return text;
}

/// The same one under another, where a table is too wide.
std::string list_text(const std::vector<HandsRow>& rows) {
  std::string text;
  for (const HandsRow& row : rows) {
    if (!row.bar.empty()) text += "bar " + row.bar + "\n";
    text += "  " + row.symbol + (row.shape.empty() ? "" : ", " + row.shape) + "\n";
    if (!row.right.empty()) text += "    right  " + row.right + "\n    finger " + row.fingers + "\n";
    if (!row.left.empty()) text += "    left   " + row.left + "\n";
    if (!row.keep.empty()) text += "    keep   " + row.keep + "\n";
  }
  return text;
}

std::size_t widest_line(std::string_view text) {
  std::size_t widest = 0;
  while (!text.empty()) {
    const std::size_t end = text.find('\n');
    widest = std::max(widest, code_points(text.substr(0, end)));
    text.remove_prefix(end == std::string_view::npos ? text.size() : end + 1);
  }
  return widest;
}

}  // namespace

std::string second_reading(const Placement& placed) {
  const KeyReading& keys = placed.analysis.keys;
  const bool open = placed.progression.notation == Notation::absolute && !placed.progression.key;
  if (!open || keys.alternatives.empty() || keys.alternatives.front().confidence <= least_confidence_to_mention)
    return {};
  const std::string other = to_string(keys.alternatives.front().key);
  return fmt::format("The key is heard from the chords; {} is possible too. A line \"key: {}\" in the text settles it.",
                     other, other);
}

std::string shape_name(VoicingKind kind, int inversion) {
  const bool has_inversions = kind == VoicingKind::close || kind == VoicingKind::root_position;
  if (!has_inversions) return std::string(to_string(kind));
  switch (inversion) {
    case 0:
      return "root position";
    case 1:
      return "1st inversion";
    case 2:
      return "2nd inversion";
    case 3:
      return "3rd inversion";
    default:
      return "open";
  }
}

std::string chart_text(const Placement& placed, const Hands& hands, const std::string& advice, int width) {
  const Progression& progression = placed.progression;
  std::string text = progression.title.empty() ? "" : progression.title + "\n";
  text += heading_line(progression, placed.key) + "\n";
  if (const std::string other = second_reading(placed); !other.empty()) text += wrapped("", other, width);
  text += "\n";
  text += chart_grid(progression, placed.analysis, width) + "\n";

  const std::vector<HandsRow> rows = rows_of(placed, hands);
  const std::string table = table_text(rows);
  text += widest_line(table) <= static_cast<std::size_t>(std::max(width, 1)) ? table : list_text(rows);
  for (const BrokenRule& each : hands.broken_rules) {
    if (&each == &hands.broken_rules.front()) text += "\nRules of four-part writing that gave way\n";
    text += wrapped("  - ", fmt::format("Bar {}: {}", placed.analysis.chords[each.chord].timed.bar, each.text), width);
  }
  if (!advice.empty()) text += "\n" + wrapped("", advice, width);
  text += "\n" + wrapped("",
                         fmt::format("The right hand's voices move {} semitone{} in all. Stop if a stretch hurts.",
                                     hands.semitones, hands.semitones == 1 ? "" : "s"),
                         width);
  return text;
}

}  // namespace romanesca
