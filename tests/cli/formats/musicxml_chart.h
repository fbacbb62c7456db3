#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "cli/errors.h"
#include "cli/formats/chart_musicxml.h"
#include "cli/formats/chords_json.h"
#include "tests/cli/formats/musicxml_score.h"
#include "theory/songs/progression_text.h"

namespace romanesca::test {

/// A song's chart in two formats: JSON, and MusicXML read back.
struct Chart {
  explicit Chart(const std::string& text) {
    NamedProgression source{value_or_throw(parse_progression(text, "song")), "progression", {}};
    const Placement placed = *place_in_key(std::move(source), std::nullopt);
    const Hands hands = hands_for(placed.analysis.timeline);
    json = nlohmann::json::parse(chart_json(placed.progression, placed.analysis, hands).text());
    bar_length = placed.analysis.timeline.meter().bar_length();
    for (const TimedChord& chord : placed.analysis.timeline.chords) {
      times.push_back({chord.start - bar_length * (chord.bar - 1), chord.length});
    }
    read_score(chart_musicxml(placed, hands), score);
  }

  [[nodiscard]] pugi::xml_node measure(int number) const {
    const pugi::xml_node part = score.tree.child("score-partwise").child("part");
    return part.find_child_by_attribute("measure", "number", std::to_string(number).c_str());
  }

  struct Time {
    Beats start, length;  // in the bar
  };
  nlohmann::json json;
  Beats bar_length;
  std::vector<Time> times;  // of each chord
  Score score;
};

/// A song with a bar of 1 chord, one of 2 and so on up to 24.
inline std::string every_split(const Meter& meter) {
  const char* chords[] = {"C ", "G/B ", "Am7 ", "N.C. "};
  std::string text = "meter: " + to_string(meter) + "\n|";
  for (int count = 1; count <= 24; ++count) {
    for (int i = 0; i < count; ++i) text += chords[i % 4];
    text += "|";
  }
  return text + "\n";
}

/// The note values of the right hand in a bar, like "half. half"; tuplets like "half 3:2".
inline std::string values(const Chart& chart, int bar) {
  std::string text;
  for (const auto note : chart.measure(bar).children("note")) {
    if (note.child("chord") || note.child("staff").text().as_int() != 1) continue;
    text += (text.empty() ? "" : " ") + std::string(note.child_value("type")) + (note.child("dot") ? "." : "");
    if (const auto change = note.child("time-modification")) {
      text += std::string(" ") + change.child_value("actual-notes") + ":" + change.child_value("normal-notes");
    }
  }
  return text;
}

}  // namespace romanesca::test
