#include "cli/formats/paper/chart_form.h"

#include <fmt/format.h>

#include <algorithm>

#include "cli/formats/paper/text_layout.h"
#include "theory/chords/numeral_text.h"
#include "theory/songs/doubtful_bars.h"
#include "theory/songs/printed_form.h"
#include "theory/text/characters.h"

namespace romanesca {
namespace {

/// For each bar of the text, in order: whether it is written as the sign for the bar before.
std::vector<bool> written_similes(const Progression& progression) {
  std::vector<bool> similes;
  for (const Section& section : progression.sections) {
    for (const Row& row : section.rows) {
      for (const Bar& bar : row.bars) similes.push_back(bar.repeats_last);
    }
  }
  return similes;
}

/// The bars as played, with their chords; no signs of the form yet.
std::vector<ChartBar> played_bars(const Placement& placed, const PaperSettings& paper) {
  const Timeline& timeline = placed.analysis.timeline;
  std::vector<ChartBar> bars(static_cast<std::size_t>(timeline.bars));
  const std::vector<std::string> words = words_by_chord(placed.progression);
  const std::vector<bool> similes = written_similes(placed.progression);
  for (std::size_t i = 0; i < placed.analysis.chords.size(); ++i) {
    const AnalysedChord& each = placed.analysis.chords[i];
    const TimedChord& timed = each.timed;
    const Beats in_bar = timed.start - timeline.meters.start_of(timed.bar);
    ChartChord chord;
    chord.index = i;
    chord.share = in_bar.quarters() / timeline.meters.at(timed.bar).bar_length().quarters();
    chord.held = timed.held;
    chord.open = std::binary_search(paper.open_chords.begin(), paper.open_chords.end(), i);
    if (each.reading && !timed.held) chord.numeral = to_string(each.reading->numeral);
    if (i < words.size()) chord.words = std::string(trimmed(words[i]));
    bars[static_cast<std::size_t>(timed.bar) - 1].chords.push_back(std::move(chord));
  }
  for (std::size_t i = 0; i < bars.size(); ++i) {
    bars[i].played = static_cast<int>(i) + 1;
    const auto& chords = bars[i].chords;
    const bool sung = std::any_of(chords.begin(), chords.end(), [](const auto& c) { return !c.words.empty(); });
    const bool open = std::any_of(chords.begin(), chords.end(), [](const auto& c) { return c.open; });
    bars[i].simile = similes.size() == bars.size() && similes[i] && !sung && !open;
  }
  for (const int bar : doubtful_bars(placed.progression)) {
    if (bar <= timeline.bars) bars[static_cast<std::size_t>(bar) - 1].doubtful = true;
  }
  return bars;
}

/// Pulses a minute in a bar as played; nothing where none is stated.
std::optional<double> tempo_of(const Placement& placed, const ChartBar& bar) {
  std::optional<double> bpm = placed.progression.tempo_bpm;
  for (const StatedTempo& stated : placed.analysis.timeline.tempos) {
    if (stated.bar <= bar.played) bpm = stated.bpm;
  }
  if (bar.chords.empty()) return bpm;
  const std::uint32_t section = placed.analysis.chords[bar.chords.front().index].timed.section;
  const std::optional<double>& own = placed.progression.sections[section].tempo_bpm;
  return own ? own : bpm;
}

std::string ending_label(const PrintedBar& bar) {
  std::string label = std::to_string(bar.ending) + ".";
  if (bar.ending_to > bar.ending) label += "\u2013" + std::to_string(bar.ending_to) + ".";
  return label;
}

void set_signs(ChartBar& bar, const PrintedBar& printed, bool& in_ending) {
  bar.start_repeat = printed.opens;
  bar.end_repeat = printed.closes;
  if (printed.ending > 0) {
    bar.ending = ending_label(printed);
    in_ending = true;
  }
  bar.in_ending = in_ending;
  bar.ending_closes = printed.ending_ends;
  if (printed.ending_ends) in_ending = false;
  bar.segno = printed.segno;
  bar.coda = printed.coda;
  if (printed.fine) bar.after = "Fine";
  if (printed.to_coda) bar.after = "To Coda";
}

/// What changes from bar to bar as they stand on paper: keys, meters, tempos, and the key that numerals are read in.
void set_changes(std::vector<ChartBar>& bars, const Placement& placed) {
  const std::vector<Key>& keys = placed.analysis.keys.by_bar;
  const MeterMap& meters = placed.analysis.timeline.meters;
  const ChartBar* before = nullptr;
  std::optional<Key> read_in;
  for (ChartBar& bar : bars) {
    if (bar.recall) continue;
    const auto place = static_cast<std::size_t>(bar.played) - 1;
    if (before != nullptr) {
      const auto place_before = static_cast<std::size_t>(before->played) - 1;
      if (place < keys.size() && keys[place].signature() != keys[place_before].signature()) bar.key = keys[place];
      if (meters.at(bar.played) != meters.at(before->played)) bar.meter = meters.at(bar.played);
    }
    const std::optional<double> tempo = tempo_of(placed, bar);
    const std::optional<double> tempo_before =
        before != nullptr ? tempo_of(placed, *before) : placed.progression.tempo_bpm;
    if (tempo && tempo != tempo_before) bar.tempo_bpm = tempo;
    for (ChartChord& chord : bar.chords) {
      if (chord.numeral.empty()) continue;
      const Key& key = placed.analysis.chords[chord.index].key;
      if (read_in && *read_in != key) chord.key = key_before_numeral(key);
      read_in = key;
    }
    before = &bar;
  }
}

std::string times_text(int times, const PaperWords& words) {
  return times == 2 ? words.twice : fmt::format(fmt::runtime(words.times), times);
}

ChartBar recalled(const PrintedSection& section, const PaperWords& words) {
  ChartBar bar;
  bar.recall = true;
  bar.begins_section = true;
  bar.section = section.name;
  bar.remark = section.same_as == section.name || section.same_as.empty()
                   ? words.as_before
                   : fmt::format(fmt::runtime(words.as_section), section.same_as);
  if (section.times > 1) bar.remark += ", " + times_text(section.times, words);
  bar.after = std::string(to_string(section.jump));
  if (!bar.after.empty()) bar.remark += ", " + bar.after;
  return bar;
}

/// Adds the bars of a section that is printed out. @param number of the bar before
void add_section(const PrintedSection& section, const std::vector<ChartBar>& played, int& number,
                 std::vector<ChartBar>& bars, const PaperWords& words) {
  bool in_ending = false;
  for (std::size_t i = 0; i < section.bars.size(); ++i) {
    const PrintedBar& printed = section.bars[i];
    ChartBar bar = played[static_cast<std::size_t>(printed.bar) - 1];
    bar.number = ++number;
    if (i == 0) {
      if (!bars.empty()) bars.back().section_ends = true;
      bar.begins_section = true;
      bar.simile = false;
      bar.section = section.name;
      if (section.times > 1) bar.remark = times_text(section.times, words);
    }
    set_signs(bar, printed, in_ending);
    if (i + 1 == section.bars.size() && section.jump != Jump::none) {
      bar.after += (bar.after.empty() ? "" : ", ") + std::string(to_string(section.jump));
    }
    bars.push_back(std::move(bar));
  }
}

}  // namespace

std::string key_before_numeral(const Key& key) {
  return with_signs(to_string(key.tonic)) + (is_minorish(key.mode) ? "m:" : ":");
}

std::vector<ChartBar> chart_bars(const Placement& placed, const Hands& hands, const PaperSettings& paper) {
  const std::vector<ChartBar> played = played_bars(placed, paper);
  std::vector<ChartBar> bars;
  int number = 0;
  for (const PrintedSection& section : printed_form(placed.progression).sections) {
    if (section.is_recall()) {
      if (!bars.empty() && !bars.back().recall) bars.back().section_ends = true;
      bars.push_back(recalled(section, paper.words));
      continue;
    }
    add_section(section, played, number, bars, paper.words);
  }
  set_changes(bars, placed);
  if (!bars.empty()) {
    bars.back().last = true;
    if (hands.loops && !bars.back().recall && !bars.front().recall && bars.back().end_repeat == 0) {
      bars.front().start_repeat = true;
      bars.back().end_repeat = 2;
    }
  }
  for (ChartBar& bar : bars) {
    if (bar.end_repeat > 2)
      bar.after = times_text(bar.end_repeat, paper.words) + (bar.after.empty() ? "" : ", ") + bar.after;
  }
  return bars;
}

std::vector<int> printed_numbers(const std::vector<ChartBar>& bars, std::size_t played) {
  std::vector<int> numbers(played, 0);
  for (const ChartBar& bar : bars) {
    if (!bar.recall) numbers[static_cast<std::size_t>(bar.played) - 1] = bar.number;
  }
  return numbers;
}

Key key_at(const std::vector<ChartBar>& bars, std::size_t bar, const Placement& placed) {
  for (std::size_t i = bar + 1; i-- > 0;) {
    if (bars[i].key) return *bars[i].key;
  }
  const auto& keys = placed.analysis.keys.by_bar;
  return keys.empty() ? placed.key : keys.front();
}

std::vector<ChartRow> chart_rows(const std::vector<ChartBar>& bars, std::size_t in_row) {
  std::vector<ChartRow> rows;
  std::size_t ending_column = 0;
  for (std::size_t bar = 0; bar < bars.size();) {
    ChartRow row{bar, 0, 0};
    const bool later_ending = !bars[bar].ending.empty() && bars[bar].ending.front() != '1';
    if (later_ending) row.column = ending_column;
    while (bar < bars.size() && row.column + row.count < in_row) {
      const ChartBar& next = bars[bar];
      const bool another_ending = !next.ending.empty() && next.ending.front() != '1';
      if (row.count > 0 && (next.begins_section || next.key || another_ending || next.recall)) break;
      if (!next.ending.empty() && !another_ending) ending_column = row.column + row.count;
      ++row.count;
      ++bar;
    }
    rows.push_back(row);
  }
  return rows;
}

}  // namespace romanesca
