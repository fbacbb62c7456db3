#include "cli/formats/paper/lead_sheet.h"

#include <fmt/format.h>

#include <algorithm>

#include "cli/formats/chart_grid.h"
#include "cli/formats/engraving/system_engraver.h"
#include "cli/formats/paper/chart_drawing.h"
#include "cli/formats/paper/chart_form.h"
#include "cli/formats/paper/chart_staves.h"
#include "cli/formats/paper/chord_lettering.h"
#include "cli/formats/paper/form_signs.h"
#include "cli/formats/paper/lead_sheet_bars.h"
#include "cli/formats/paper/page_flow.h"
#include "cli/formats/paper/sung_words.h"
#include "cli/formats/paper/text_layout.h"
#include "cli/formats/written_tune.h"
#include "theory/tunes/verses.h"

namespace romanesca {
namespace {

constexpr double symbol_size = 13, sung_size = 10.5, tune_space = 5.3;
constexpr std::size_t most_bars = 4;
constexpr double least_pressed = 0.85, most_drawn_apart = 1.5;

class LeadSheetSetter {
 public:
  LeadSheetSetter(PageFlow& flow, const Placement& placed, const Tune& tune, const Hands& hands,
                  const std::vector<ChartBar>& bars)
      : flow_(flow), placed_(placed), tune_(tune), hands_(hands), bars_(bars), scale_(flow.paper().scale()) {
    for (const AnalysedChord& each : placed.analysis.chords) has_chords_ = has_chords_ || each.timed.chord;
  }

  void set() {
    for (std::size_t bar = 0; bar < bars_.size();) {
      if (bars_[bar].recall) {
        put_recall(flow_, bars_[bar++], scale_);
        continue;
      }
      const std::size_t most = flow_.paper().large ? most_bars / 2 : most_bars;
      std::size_t count = 1;
      while (count < most && bar + count < bars_.size() && !breaks_before(bars_[bar + count]) && fits(bar, count + 1))
        ++count;
      put_line(bar, count);
      bar += count;
    }
  }

 private:
  /// A line of music before it is engraved.
  struct Line {
    StaffSystem system;
    std::vector<TuneBar> tune;  ///< for each bar of the system
    bool upbeat = false;        ///< its first bar is one
  };

  [[nodiscard]] double size(double points) const { return points * scale_; }
  [[nodiscard]] bool with_left() const { return flow_.paper().staves == StaffKind::tune_and_left; }
  [[nodiscard]] static bool breaks_before(const ChartBar& bar) {
    return bar.begins_section || bar.key.has_value() || bar.meter.has_value() || bar.recall;
  }
  [[nodiscard]] double indent() const { return with_left() ? size(9) : 0; }
  [[nodiscard]] double full_width() const { return PageFlow::block_width - indent(); }
  [[nodiscard]] const MeterMap& meters() const { return placed_.analysis.timeline.meters; }

  [[nodiscard]] bool fits(std::size_t first, std::size_t count) const {
    const StaffSystem system = line_of(first, count).system;
    return SystemEngraver::least_width(system) <= full_width() &&
           SystemEngraver::natural_width(system) * least_pressed <= full_width();
  }

  [[nodiscard]] Lettering symbol_of(const ChartChord& chord) const {
    const auto& timed = placed_.analysis.chords[chord.index].timed;
    if (!timed.chord) return Lettering::words("N.C.", size(symbol_size));
    return Lettering::chord(*timed.chord, size(symbol_size), placed_.progression.names);
  }
  /// @param bar that it is in @param opens the bar begins a line
  [[nodiscard]] bool shows(const ChartChord& chord, const ChartBar& bar, bool opens) const {
    if (chord.held || !has_chords_) return false;
    // What is repeated in the next bar needs no symbol, but at the beginning of a line; a song without chords has none.
    if (chord.index == 0 || (opens && chord.index == bar.chords.front().index)) return true;
    const auto& before = placed_.analysis.chords[chord.index - 1].timed;
    const auto& here = placed_.analysis.chords[chord.index].timed;
    return before.chord != here.chord || before.section != here.section;
  }

  [[nodiscard]] StaffBar staff_bar(TuneBar& notes, const Meter& meter) const {
    StaffBar bar;
    bar.meter = meter;
    bar.begins = notes.begins;
    bar.staves.push_back(notes.events);
    bar.syllables = syllable_labels(notes, size(sung_size), size(tune_space));
    return bar;
  }

  [[nodiscard]] StaffBar played_bar(const ChartBar& chart, TuneBar& notes, bool opens) const {
    StaffBar bar = staff_bar(notes, meters().at(chart.played));
    if (with_left() && !chart.chords.empty()) {
      bar.staves.push_back(hand_events(placed_, hands_, chart.chords.front().index, chart.chords.back().index + 1, 1));
      for (StaffEvent& event : bar.staves.back()) {
        for (StaffNote& note : event.notes) note.finger = 0;
      }
    }
    for (const ChartChord& chord : chart.chords) {
      if (!shows(chord, chart, opens)) continue;
      const TimedChord& timed = placed_.analysis.chords[chord.index].timed;
      bar.labels.push_back({timed.start - meters().start_of(timed.bar), symbol_of(chord).width() + size(5)});
    }
    bar.right = chart.end_repeat > 0 ? BarLine::end_repeat
                : chart.last         ? BarLine::final
                : chart.section_ends ? BarLine::twofold
                                     : BarLine::single;
    const bool before_upbeat = chart.played == 1 && tune_.repeats_upbeat;
    if (chart.start_repeat && !before_upbeat) bar.left = BarLine::start_repeat;
    return bar;
  }

  [[nodiscard]] Line line_of(std::size_t first, std::size_t count) const {
    Line line;
    StaffSystem& system = line.system;
    system.clefs = with_left() ? std::vector{Clef::treble, Clef::bass} : std::vector{Clef::treble};
    system.brace = with_left();
    system.key = key_at(bars_, first, placed_);
    if (first == 0 || bars_[first].meter) system.shows_meter = meters().at(bars_[first].played);
    system.space = size(tune_space);
    line.upbeat = first == 0 && tune_.upbeat > Beats(0);
    if (line.upbeat) {
      line.tune.push_back(tune_bar(tune_, meters(), 0, true));
      StaffBar bar = staff_bar(line.tune.back(), meters().first());
      if (tune_.repeats_upbeat) bar.left = BarLine::start_repeat;
      if (with_left()) {
        bar.staves.push_back(line.tune.back().events);
        for (StaffEvent& event : bar.staves.back()) event.notes.clear();
      }
      system.bars.push_back(std::move(bar));
    }
    for (std::size_t i = first; i < first + count; ++i) {
      line.tune.push_back(tune_bar(tune_, meters(), bars_[i].played, i == first && !line.upbeat));
      system.bars.push_back(played_bar(bars_[i], line.tune.back(), i == first));
    }
    if (with_left()) system.words_height = words_height(line.tune);
    return line;
  }

  [[nodiscard]] double words_height(const std::vector<TuneBar>& tune) const {
    const std::size_t verses = verses_in(tune);
    if (verses == 0) return 0;
    return size(sung_size + 5) + static_cast<double>(verses - 1) * verse_distance(size(sung_size));
  }

  void put_line(std::size_t first, std::size_t count) {
    // A bar with very many notes or long words is made smaller.
    const double usual = scale_;
    constexpr double smallest = 0.3;
    while (scale_ > smallest * usual && SystemEngraver::least_width(line_of(first, count).system) > full_width())
      scale_ *= 0.95;
    put_line_here(first, count);
    scale_ = usual;
  }

  void put_line_here(std::size_t first, std::size_t count) {
    const Line line = line_of(first, count);
    double width = full_width();
    const double natural = SystemEngraver::natural_width(line.system);
    const bool ends = first + count == bars_.size() || breaks_before(bars_[first + count]);
    if (ends) {
      width = std::min(width, std::max(natural * most_drawn_apart, SystemEngraver::least_width(line.system)));
    }
    const SystemEngraver engraver(line.system, width);
    const std::span<const ChartBar> chart = std::span(bars_).subspan(first, count);
    const double signs = size(form_signs_height(chart));
    const double over = std::max(engraver.above(), size(6)) + size(9 + symbol_size) + signs;
    const double words = with_left() ? 0 : words_height(line.tune);
    const double under = std::max(engraver.below(), size(4)) + words;
    const bool named = bars_[first].begins_section && !bars_[first].section.empty();
    flow_.keep((named ? size(16) : 0) + over + engraver.height() + under + size(12));
    flow_.down(size(7));
    if (named) {
      flow_.down(size(12));
      flow_.text(flow_.left(), bars_[first].section,
                 {size(11.5), Face::bold, Ink::accent, TextRole::heading, MarkKind::text});
      flow_.down(size(4));
    }
    const double top = flow_.y() + over;
    const double left = flow_.left() + indent();
    engraver.put(flow_.marks(), left, top);
    if (first > 0) {
      flow_.marks().push_back(
          text_at(left, top - 2.3 * size(tune_space), std::to_string(bars_[first].number), {size(8), Face::italic}));
    }
    put_symbols(engraver, line, first, count, left, top);
    const double baseline = top + std::max(engraver.highest_staff_depth(), size(4 * tune_space + 4)) + size(sung_size);
    put_sung_words(flow_.marks(), engraver, line.tune, left, baseline, size(sung_size), size(tune_space));
    const std::size_t shift = line.upbeat ? 1 : 0;
    std::vector<double> edges;
    for (std::size_t i = 0; i < count; ++i) edges.push_back(left + engraver.bar_left(i + shift));
    edges.push_back(left + engraver.bar_right(count - 1 + shift));
    put_form_signs(flow_.marks(), chart, edges, flow_.y() + signs + size(2), scale_);
    flow_.down(over + engraver.height() + under + size(4));
  }

  void put_symbols(const SystemEngraver& engraver, const Line& line, std::size_t first, std::size_t count, double left,
                   double top) {
    const double baseline = top - std::max(engraver.above(), size(6)) - size(6);
    const std::size_t shift = line.upbeat ? 1 : 0;
    for (std::size_t i = 0; i < count; ++i) {
      std::size_t label = 0;
      for (const ChartChord& chord : bars_[first + i].chords) {
        if (!shows(chord, bars_[first + i], i == 0)) continue;
        symbol_of(chord).put(flow_.marks(), left + engraver.label_x(i + shift, label++), baseline);
      }
    }
  }

  PageFlow& flow_;
  const Placement& placed_;
  const Tune& tune_;
  const Hands& hands_;
  const std::vector<ChartBar>& bars_;
  double scale_;
  bool has_chords_ = false;
};

/// Title in the middle, tempo and manner at the left, the composer at the right.
void put_lead_sheet_head(PageFlow& flow, const std::string& title, const std::string& composer,
                         const Placement& placed) {
  constexpr double title_size = 25, least_title = 13, fact_size = 10;
  const double scale = flow.paper().zoom;
  double fitting = title_size;
  while (fitting > least_title && text_width(title, fitting, Face::bold) > PageFlow::block_width) fitting -= 1;
  flow.down(30);
  flow.marks().push_back(text_centred((flow.left() + flow.right()) / 2, flow.y(),
                                      shortened(title, PageFlow::block_width, fitting, Face::bold),
                                      {fitting, Face::bold, Ink::text, TextRole::title, MarkKind::text}));
  flow.down(22 * scale);
  std::string manner;
  for (const std::string& fact : chart_facts(placed.progression, placed.key, flow.paper().words)) {
    const bool on_staff = fact == to_string(placed.progression.meter());
    if (on_staff) continue;
    manner += (manner.empty() ? "" : ", ") + fact;
  }
  flow.text(flow.left(), manner, {fact_size, Face::roman});
  if (!composer.empty()) {
    flow.marks().push_back(
        text_ending(flow.right(), flow.y(), shortened(composer, 240, 11, Face::italic), {11, Face::italic}));
  }
  flow.down(6 * scale);
}

std::string words_of(const Tune& tune) {
  std::string words;
  const std::size_t verses = count_verses(tune.notes);
  for (std::size_t verse = 0; verse < verses; ++verse) {
    if (verses > 1) words += fmt::format("{}. ", verse + 1);
    for (const TuneNote& note : tune.notes) {
      const Syllable sung = syllable_of(note, verse);
      if (!sung.text.empty()) words += sung.text + (sung.end == SyllableEnd::hyphen ? "" : " ");
    }
  }
  return words;
}

}  // namespace

Drawing lead_sheet_drawing(const Placement& song, const Tune& tune, const Hands& hands, const PaperSettings& paper,
                           const std::string& composer) {
  Placement placed = song;
  shorten_chords(placed.analysis.timeline, tune);
  const Progression& progression = placed.progression;
  Drawing drawing;
  drawing.title = progression.title.empty() ? placed.name : progression.title;
  if (drawing.title == "progression") drawing.title = "Song";  // typed on the command line
  drawing.description = fmt::format("{}. Lead sheet: {}. {}", heading_line(progression, placed.key),
                                    chart_in_words(placed, paper), words_of(tune));
  constexpr int long_song = 80;
  const auto set = [&](const PaperSettings& settings) {
    drawing.pages.clear();
    PageFlow flow(drawing, settings);
    put_lead_sheet_head(flow, drawing.title, composer, placed);
    const std::vector<ChartBar> bars = chart_bars(placed, hands, settings);
    LeadSheetSetter(flow, placed, tune, hands, bars).set();
    return drawing.pages.size();
  };
  if (placed.analysis.timeline.bars > long_song) {
    set(paper);
  } else {
    set(fitted(paper, {1.0, 0.94, 0.88}, set));
  }
  if (drawing.pages.size() > 1) put_feet(drawing, 0, "");
  return drawing;
}

}  // namespace romanesca
