#pragma once

#include <gtest/gtest.h>

#include <cstdint>
#include <map>
#include <pugixml.hpp>
#include <string>
#include <vector>

#include "theory/notes/meter.h"

namespace romanesca::test {

/// A note or rest of a score, read back.
struct ScoreNote {
  int bar = 0;
  Beats start;   ///< from the bar's beginning
  Beats length;  ///< from <duration>
  Beats shown;   ///< from <type>, <dot> and <time-modification>
  int staff = 0;
  std::string name;  ///< "Eb4"; empty for a rest
  int midi = -1;     ///< -1 for a rest
  int finger = 0;
  bool tied_from = false, tied_to = false;
};

/// The parts of a score that the tests need, read by the rules of MusicXML, independently of the program's code.
struct Score {
  pugi::xml_document tree;
  std::vector<ScoreNote> notes;  ///< in the order of the file
  int bars = 0;
};

inline Beats shown_length(pugi::xml_node note) {
  static const std::map<std::string, Beats> types{
      {"whole", Beats(4)},     {"half", Beats(2)},      {"quarter", Beats(1)},
      {"eighth", Beats(1, 2)}, {"16th", Beats(1, 4)},   {"32nd", Beats(1, 8)},
      {"64th", Beats(1, 16)},  {"128th", Beats(1, 32)}, {"256th", Beats(1, 64)}};
  Beats length = types.at(note.child_value("type"));
  if (note.child("dot")) length += length / 2;
  if (const auto change = note.child("time-modification")) {
    length = length * change.child("normal-notes").text().as_int() / change.child("actual-notes").text().as_int();
  }
  return length;
}

inline ScoreNote read_note(pugi::xml_node note, std::int64_t divisions) {
  static const std::map<std::string, int> steps{{"C", 0}, {"D", 2}, {"E", 4}, {"F", 5}, {"G", 7}, {"A", 9}, {"B", 11}};
  ScoreNote read;
  read.length = Beats(note.child("duration").text().as_llong(), divisions);
  read.shown = note.child("rest").attribute("measure") ? read.length : shown_length(note);
  read.staff = note.child("staff").text().as_int();
  if (const auto pitch = note.child("pitch")) {
    const int alter = pitch.child("alter").text().as_int();
    const int octave = pitch.child("octave").text().as_int();
    read.midi = 12 * (octave + 1) + steps.at(pitch.child_value("step")) + alter;
    read.name = pitch.child_value("step") +
                std::string(static_cast<std::size_t>(std::abs(alter)), alter < 0 ? 'b' : '#') + std::to_string(octave);
  }
  for (const auto tie : note.children("tie")) {
    (std::string(tie.attribute("type").value()) == "start" ? read.tied_to : read.tied_from) = true;
  }
  read.finger = note.child("notations").child("technical").child("fingering").text().as_int();
  return read;
}

inline void read_measure(pugi::xml_node measure, std::int64_t& divisions, Score& score) {
  ++score.bars;
  Beats now, chord_start;
  for (const auto item : measure.children()) {
    const std::string name = item.name();
    if (const auto changed = item.child("divisions")) divisions = changed.text().as_llong();
    if (name == "backup") now -= Beats(item.child("duration").text().as_llong(), divisions);
    if (name != "note") continue;
    ScoreNote note = read_note(item, divisions);
    note.bar = score.bars;
    if (!item.child("chord")) {
      chord_start = now;
      now += note.length;
    }
    note.start = chord_start;
    score.notes.push_back(note);
  }
}

inline void read_score(const std::string& text, Score& score) {
  ASSERT_TRUE(score.tree.load_string(text.c_str())) << text.substr(0, 200);
  std::int64_t divisions = 0;
  for (const auto measure : score.tree.child("score-partwise").child("part").children("measure")) {
    read_measure(measure, divisions, score);
  }
}

}  // namespace romanesca::test
