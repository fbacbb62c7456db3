#include "cli/formats/paper/chart_drawing.h"

#include <fmt/format.h>

#include <algorithm>

#include "cli/formats/chart_grid.h"
#include "cli/formats/paper/chart_form.h"
#include "cli/formats/paper/chart_hands.h"
#include "cli/formats/paper/chart_rows.h"
#include "cli/formats/paper/chart_staves.h"
#include "cli/formats/paper/page_flow.h"
#include "cli/formats/paper/text_layout.h"
#include "theory/text/characters.h"

namespace romanesca {
namespace {

constexpr double note_size = 8.5;
constexpr double note_leading = 11;

/// Rules of part-writing that could not be kept, for the end of the page.
std::vector<std::string> broken_rule_lines(const Placement& placed, const Hands& hands) {
  std::vector<std::string> lines;
  for (const BrokenRule& each : hands.broken_rules) {
    lines.push_back(
        sentence_with_signs(fmt::format("Bar {}: {}", placed.analysis.chords[each.chord].timed.bar, each.text)));
  }
  return lines;
}

/// The pages without their feet.
void set_chart(Drawing& drawing, const Placement& placed, const Hands& hands, const PaperSettings& paper) {
  PageFlow flow(drawing, paper);
  put_head(flow, {drawing.title, chart_facts(placed.progression, placed.key, paper.words), data_of(paper)});
  const double scale = paper.scale();
  flow.down(18 * scale);
  std::vector<ChartBar> bars = chart_bars(placed, hands, paper);
  const std::vector<int> numbers = printed_numbers(bars, static_cast<std::size_t>(placed.analysis.timeline.bars));
  if (paper.staves == StaffKind::none) {
    ChartRowSetter(flow, placed, std::move(bars), {}).set();
  } else {
    put_chart_staves(flow, placed, hands, bars);
  }
  const std::vector<std::string> notes = broken_rule_lines(placed, hands);
  const double notes_height = static_cast<double>(notes.size()) * note_leading * scale + paper.below;
  put_hands(flow, chart_shapes(placed, hands, paper.open_chords, numbers), notes_height);
  for (const std::string& note : notes) {
    flow.paragraph(flow.left(), PageFlow::block_width, note, {note_size * scale, Face::roman}, note_leading * scale);
  }
}

}  // namespace

std::vector<std::string> chart_facts(const Progression& progression, const Key& key, const PaperWords& words) {
  const bool english = progression.names == NoteNames::english;
  std::string tonic = english ? with_signs(to_string(key.tonic)) : name_in(key.tonic, progression.names);
  if (words.small_minor && is_minorish(key.mode)) tonic = small_letters(tonic);
  std::vector<std::string> facts{fmt::format(fmt::runtime(words.keys[static_cast<std::size_t>(key.mode)]), tonic),
                                 to_string(progression.meter())};
  if (progression.tempo_bpm) {
    const char* dot = progression.meter().is_compound() ? "." : "";
    facts.push_back(fmt::format("\u2669{} = {}", dot, *progression.tempo_bpm));
  }
  if (!progression.style.empty()) facts.push_back(progression.style);
  if (progression.capo != 0) {
    Progression shapes;
    shapes.capo = progression.capo;
    shapes.key = KeyText{key.tonic, key.mode};
    const KeyText played = *shapes_with_capo(shapes).key;
    const Key shape_key{played.tonic, played.mode.value_or(key.mode)};
    facts.push_back(
        fmt::format("guitar with capo {}: shapes of {}", progression.capo, with_signs(to_string(shape_key))));
  }
  return facts;
}

std::string chart_in_words(const Placement& placed, const PaperSettings& paper) {
  std::string words;
  std::uint32_t section = 0;
  int bar = 0;
  std::size_t index = 0;
  for (const AnalysedChord& each : placed.analysis.chords) {
    const TimedChord& timed = each.timed;
    if (timed.section != section || bar == 0) {
      section = timed.section;
      const std::string& name = placed.progression.sections[section].name;
      if (!name.empty()) words += name + ": ";
    }
    if (timed.bar != bar) words += fmt::format("bar {} ", timed.bar);
    bar = timed.bar;
    const bool open = std::binary_search(paper.open_chords.begin(), paper.open_chords.end(), index);
    words += (timed.chord ? name_in(*timed.chord, placed.progression.names) : open ? "to be found" : "no chord") + ", ";
    ++index;
  }
  return words.substr(0, words.size() - std::min<std::size_t>(2, words.size()));
}

Drawing chart_drawing(const Placement& placed, const Hands& hands, const PaperSettings& paper) {
  const Progression& progression = placed.progression;
  Drawing drawing;
  drawing.title = progression.title.empty() ? placed.name : progression.title;
  if (drawing.title == "progression") drawing.title = "Chords";  // typed on the command line
  drawing.description = fmt::format("{}. {}", heading_line(progression, placed.key), chart_in_words(placed, paper));
  // A little smaller where that saves a page; a long song is set once.
  constexpr int long_song = 80;
  const auto set = [&](const PaperSettings& settings) {
    drawing.pages.clear();
    set_chart(drawing, placed, hands, settings);
    return drawing.pages.size();
  };
  if (placed.analysis.timeline.bars > long_song) {
    set(paper);
  } else {
    set(fitted(paper, {1.0, 0.94, 0.88}, set));
  }
  if (paper.foot || drawing.pages.size() > 1) {
    put_feet(drawing, 0, sentence_with_signs((paper.advice.empty() ? "" : paper.advice + " ") + paper.words.stop));
  }
  return drawing;
}

}  // namespace romanesca
