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
  std::string bar, symbol, right, fingers, left, left_fingers, keep, inversion, layout;
};

/// Whether the kind leaves the bass alone to the left hand, so that its fingers need not be told.
bool left_has_shapes(VoicingKind kind) {
  return kind == VoicingKind::rootless || kind == VoicingKind::two_hand || kind == VoicingKind::open;
}

std::vector<HandsRow> rows_of(const Placement& placed, const Hands& hands) {
  std::vector<HandsRow> rows;
  int bar_shown = 0;
  const std::vector<bool> on_paper = bars_on_paper(printed_form(placed.progression));
  for (std::size_t i = 0; i < hands.chords.size(); ++i) {
    const TimedChord& timed = placed.analysis.chords[i].timed;
    const HandsChord& chord = hands.chords[i];
    if (timed.held || !on_paper[static_cast<std::size_t>(timed.bar) - 1]) continue;
    HandsRow row;
    row.bar = timed.bar == bar_shown ? "" : std::to_string(timed.bar);
    row.symbol = "N.C.";
    bar_shown = timed.bar;
    if (timed.chord) {
      row.symbol = name_in(*timed.chord, placed.progression.names);
      row.right = notes_text(chord.right);
      row.fingers = fmt::format("{}", fmt::join(chord.right_fingers, " "));
      row.left = notes_text(chord.left);
      const bool shapes = left_has_shapes(hands.kind);
      if (shapes) row.left_fingers = fmt::format("{}", fmt::join(chord.left_fingers, " "));
      for (std::size_t n = 0; n < chord.stays.size(); ++n) {
        if (chord.stays[n] && !shapes) row.keep += (row.keep.empty() ? "" : " ") + to_string(chord.right[n]);
      }
      if (!shapes || !timed.chord->bass.sounds_like(timed.chord->root)) row.inversion = inversion_name(*timed.chord);
      row.layout = layout_name(hands.kind, *timed.chord, chord);
    }
    rows.push_back(std::move(row));
  }
  return rows;
}

/// A line for each chord, in columns; columns with nothing in them are left out.
std::string table_text(std::vector<HandsRow> rows) {
  // "G on top" is told in a column of top notes.
  constexpr std::string_view on_top = " on top";
  bool tops = false;
  for (HandsRow& row : rows) {
    if (!row.layout.ends_with(on_top)) continue;
    tops = true;
    row.layout.resize(row.layout.size() - on_top.size());
  }
  rows.insert(rows.begin(), {"bar", "chord", "right hand", "fingers", "left", "fingers", "keep", "inversion",
                             tops ? "top" : "degrees"});
  constexpr std::array columns{&HandsRow::bar,     &HandsRow::symbol,    &HandsRow::right,
                               &HandsRow::fingers, &HandsRow::left,      &HandsRow::left_fingers,
                               &HandsRow::keep,    &HandsRow::inversion, &HandsRow::layout};
  std::array<std::size_t, columns.size()> widths{};
  for (std::size_t c = 0; c < columns.size(); ++c) {
    const bool used =
        std::any_of(rows.begin() + 1, rows.end(), [&](const HandsRow& row) { return !(row.*columns[c]).empty(); });
    for (const HandsRow& row : rows) widths[c] = used ? std::max(widths[c], code_points(row.*columns[c])) : 0;
  }
  std::string text;
  for (const HandsRow& row : rows) {
    std::string line;
    for (std::size_t c = 0; c < columns.size(); ++c) {
      if (widths[c] > 0) line += padded(row.*columns[c], widths[c]) + "  ";
    }
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
    text += "  " + row.symbol + (row.inversion.empty() ? "" : ", " + row.inversion) + "\n";
    if (!row.right.empty()) text += "    right  " + row.right + "\n    finger " + row.fingers + "\n";
    if (!row.left.empty()) text += "    left   " + row.left + "\n";
    if (!row.left_fingers.empty()) text += "    finger " + row.left_fingers + "\n";
    if (!row.keep.empty()) text += "    keep   " + row.keep + "\n";
    if (!row.layout.empty()) text += "    shape  " + row.layout + "\n";
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

std::string inversion_name(const Chord& chord) {
  constexpr std::array<std::string_view, 7> names{"root position", "1st inversion", "2nd inversion", "3rd inversion",
                                                  "4th inversion", "5th inversion", "6th inversion"};
  const std::optional<int> inversion = chord.inversion();
  if (inversion && *inversion < static_cast<int>(names.size()))
    return std::string(names[static_cast<std::size_t>(*inversion)]);
  return to_string(chord.bass) + " in the bass";
}

std::string layout_name(VoicingKind kind, const Chord& chord, const HandsChord& hands) {
  const auto degrees = [&](const Voicing& notes) {
    std::string text;
    for (const Pitch& note : notes) text += (text.empty() ? "" : "-") + degree_name(chord, note.name());
    return text;
  };
  switch (kind) {
    case VoicingKind::open:
    case VoicingKind::two_hand:
      return degrees(hands.left) + ", " + degrees(hands.right);
    case VoicingKind::shell:
      return degrees(hands.right);
    case VoicingKind::rootless:
      return degrees(hands.left);
    case VoicingKind::close:
    case VoicingKind::root_position:
    case VoicingKind::four_part:
      break;
  }
  return to_string(hands.right.back().name()) + " on top";
}

std::string chart_text(const Placement& placed, const Hands& hands, const std::string& advice, int width) {
  const Progression& progression = placed.progression;
  std::string text = progression.title.empty() ? "" : progression.title + "\n";
  text += heading_line(progression, placed.key) + "\n";
  if (const std::string other = second_reading(placed); !other.empty()) text += wrapped("", other, width);
  text += "\n";
  text += chart_grid(progression, placed.analysis, width) + "\n";

  const std::vector<HandsRow> rows = rows_of(placed, hands);
  const auto fits = [&](const std::string& table) {
    return widest_line(table) <= static_cast<std::size_t>(std::max(width, 1));
  };
  std::string table = table_text(rows);
  if (!fits(table)) {
    // Which keys stay can be seen from the notes.
    std::vector<HandsRow> narrow = rows;
    for (HandsRow& row : narrow) row.keep.clear();
    table = table_text(std::move(narrow));
  }
  text += fits(table) ? table : list_text(rows);
  for (const BrokenRule& each : hands.broken_rules) {
    if (&each == &hands.broken_rules.front()) text += "\nRules of four-part writing that gave way\n";
    text += wrapped("  - ", fmt::format("Bar {}: {}", placed.analysis.chords[each.chord].timed.bar, each.text), width);
  }
  if (!advice.empty()) text += "\n" + wrapped("", advice, width);
  text += "\n" + wrapped("",
                         fmt::format("The {} hand's voices move {} semitone{} in all. Stop if a stretch hurts.",
                                     hands.kind == VoicingKind::rootless ? "left" : "right", hands.semitones,
                                     hands.semitones == 1 ? "" : "s"),
                         width);
  return text;
}

}  // namespace romanesca
