#include "cli/formats/paper/chart_form.h"

#include <algorithm>

#include "cli/formats/paper/text_layout.h"
#include "theory/chords/numeral_text.h"
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

void mark_section(ChartBar& bar, const Progression& progression, std::uint32_t section) {
  bar.begins_section = true;
  bar.section = progression.sections[section].name;
  if (progression.sections[section].tempo_bpm) bar.tempo_bpm = progression.sections[section].tempo_bpm;
}

}  // namespace

std::string key_before_numeral(const Key& key) {
  return with_signs(to_string(key.tonic)) + (is_minorish(key.mode) ? "m:" : ":");
}

std::vector<ChartBar> chart_bars(const Placement& placed, const Hands& hands, const PaperSettings& paper) {
  const Timeline& timeline = placed.analysis.timeline;
  std::vector<ChartBar> bars(static_cast<std::size_t>(timeline.bars));
  const std::vector<std::string> words = words_by_chord(placed.progression);
  const std::vector<bool> similes = written_similes(placed.progression);
  const double bar_length = timeline.meter.bar_length().quarters();
  std::optional<Key> key;
  for (std::size_t i = 0; i < placed.analysis.chords.size(); ++i) {
    const AnalysedChord& each = placed.analysis.chords[i];
    const TimedChord& timed = each.timed;
    const Beats in_bar = timed.start - timeline.meter.bar_length() * (timed.bar - 1);
    ChartBar& bar = bars[static_cast<std::size_t>(timed.bar) - 1];
    if (bar.chords.empty() && (i == 0 || placed.analysis.chords[i - 1].timed.section != timed.section)) {
      mark_section(bar, placed.progression, timed.section);
      if (i > 0) bars[static_cast<std::size_t>(timed.bar) - 2].section_ends = true;
    }
    ChartChord chord;
    chord.index = i;
    chord.share = in_bar.quarters() / bar_length;
    chord.held = timed.held;
    chord.open = std::binary_search(paper.open_chords.begin(), paper.open_chords.end(), i);
    if (each.reading && !timed.held) {
      chord.numeral = to_string(each.reading->numeral);
      if (key && *key != each.key) chord.key = key_before_numeral(each.key);
      key = each.key;
    }
    if (i < words.size()) chord.words = std::string(trimmed(words[i]));
    bar.chords.push_back(std::move(chord));
  }
  const std::vector<Key>& keys = placed.analysis.keys.by_bar;
  for (std::size_t i = 0; i < bars.size(); ++i) {
    bars[i].number = static_cast<int>(i) + 1;
    const bool sung =
        std::any_of(bars[i].chords.begin(), bars[i].chords.end(), [](const auto& c) { return !c.words.empty(); });
    const bool open = std::any_of(bars[i].chords.begin(), bars[i].chords.end(), [](const auto& c) { return c.open; });
    bars[i].simile = similes.size() == bars.size() && similes[i] && !sung && !open && !bars[i].begins_section;
    if (i > 0 && i < keys.size() && keys[i].signature() != keys[i - 1].signature()) bars[i].key = keys[i];
  }
  if (!bars.empty()) {
    bars.back().last = true;
    if (hands.loops) {
      bars.front().start_repeat = true;
      bars.back().end_repeat = 2;
    }
  }
  return bars;
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
      if (row.count > 0 && (next.begins_section || next.key || another_ending)) break;
      if (!next.ending.empty() && !another_ending) ending_column = row.column + row.count;
      ++row.count;
      ++bar;
    }
    rows.push_back(row);
  }
  return rows;
}

}  // namespace romanesca
