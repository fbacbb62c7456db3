#include "cli/formats/paper/chart_staves.h"

#include <fmt/format.h>

#include <algorithm>
#include <optional>

#include "cli/formats/engraving/system_engraver.h"
#include "cli/formats/paper/chord_lettering.h"
#include "cli/formats/paper/form_signs.h"
#include "cli/formats/paper/text_layout.h"

namespace romanesca {
namespace {

constexpr double chord_size = 13;
constexpr double staff_numeral_size = 10;
constexpr double staff_words_size = 10;
constexpr double staff_space = 5.1;
constexpr double least_stretch = 0.85;  // how far a line may be pressed together to take one bar more
constexpr double most_stretch = 1.5;    // and drawn apart, at the end of the piece

const Voicing& hand_of(const HandsChord& chord, int staff) { return staff == 0 ? chord.right : chord.left; }

class StaffChartSetter {
 public:
  StaffChartSetter(PageFlow& flow, const Placement& placed, const Hands& hands, const std::vector<ChartBar>& bars)
      : flow_(flow), placed_(placed), hands_(hands), bars_(bars), scale_(flow.paper().scale()) {}

  void set() {
    const std::size_t most = flow_.paper().large ? 2 : 4;
    for (std::size_t bar = 0; bar < bars_.size();) {
      if (bars_[bar].recall) {
        put_recall(flow_, bars_[bar++], scale_);
        continue;
      }
      std::size_t count = 1;
      while (count < most && bar + count < bars_.size() && !breaks_before(bars_[bar + count]) && fits(bar, count + 1))
        ++count;
      put_line(bar, count);
      bar += count;
    }
  }

 private:
  [[nodiscard]] double size(double points) const { return points * scale_; }
  [[nodiscard]] bool slashes() const { return flow_.paper().staves == StaffKind::slashes; }
  [[nodiscard]] static bool breaks_before(const ChartBar& bar) {
    return bar.begins_section || bar.key.has_value() || bar.meter.has_value() || bar.recall;
  }
  /// Braces stand left of the staves.
  [[nodiscard]] double indent() const { return slashes() ? 0 : size(9); }
  [[nodiscard]] double full_width() const { return PageFlow::block_width - indent(); }

  [[nodiscard]] bool fits(std::size_t first, std::size_t count) const {
    const StaffSystem system = system_of(first, count);
    return SystemEngraver::least_width(system) <= full_width() &&
           SystemEngraver::natural_width(system) * least_stretch <= full_width();
  }

  [[nodiscard]] Lettering symbol_of(const ChartChord& chord) const {
    const auto& timed = placed_.analysis.chords[chord.index].timed;
    if (!timed.chord) return Lettering::words("N.C.", size(chord_size));
    return Lettering::chord(*timed.chord, size(chord_size), placed_.progression.names);
  }

  [[nodiscard]] Beats place_in_bar(const ChartChord& chord) const {
    const TimedChord& timed = placed_.analysis.chords[chord.index].timed;
    return timed.start - placed_.analysis.timeline.meters.start_of(timed.bar);
  }

  [[nodiscard]] StaffBar staff_bar(const ChartBar& bar) const {
    StaffBar result;
    result.meter = meter_of(bar);
    if (!bar.chords.empty()) {
      const std::size_t first = bar.chords.front().index;
      const std::size_t end = bar.chords.back().index + 1;
      if (slashes()) {
        result.staves.push_back(slash_events(bar));
      } else {
        for (const int staff : {0, 1}) result.staves.push_back(hand_events(placed_, hands_, first, end, staff));
      }
    }
    for (const ChartChord& chord : bar.chords) {
      if (chord.held) continue;
      double width = symbol_of(chord).width() + size(5);
      width = std::max(width, numeral_of(chord).width() + key_width(chord) + size(6));
      width = std::max(width, text_width(chord.words, size(staff_words_size), Face::roman) + size(5));
      result.labels.push_back({place_in_bar(chord), width});
    }
    result.right = bar.end_repeat > 0 ? BarLine::end_repeat
                   : bar.last         ? BarLine::final
                   : bar.section_ends ? BarLine::twofold
                                      : BarLine::single;
    if (bar.start_repeat) result.left = BarLine::start_repeat;
    return result;
  }

  [[nodiscard]] std::vector<StaffEvent> slash_events(const ChartBar& bar) const {
    const Meter meter = meter_of(bar);
    std::vector<StaffEvent> events;
    for (int pulse = 0; pulse < meter.pulses(); ++pulse) {
      const Beats at = meter.pulse_length() * pulse;
      // Silence where no chord sounds.
      const ChartChord* sounding = nullptr;
      for (const ChartChord& chord : bar.chords) {
        if (place_in_bar(chord) <= at) sounding = &chord;
      }
      const bool silent = sounding != nullptr && !placed_.analysis.chords[sounding->index].timed.chord;
      StaffEvent event;
      event.start = at;
      event.value = {0, meter.is_compound()};
      event.slash = !silent;
      if (event.slash) event.value.dotted = false;
      events.push_back(event);
    }
    return events;
  }

  [[nodiscard]] Lettering numeral_of(const ChartChord& chord) const {
    return Lettering::numeral(chord.numeral, size(staff_numeral_size));
  }
  [[nodiscard]] double key_width(const ChartChord& chord) const {
    return chord.key.empty() ? 0 : text_width(chord.key + " ", size(staff_numeral_size), Face::italic);
  }

  [[nodiscard]] StaffSystem system_of(std::size_t first, std::size_t count) const {
    StaffSystem system;
    system.clefs = slashes() ? std::vector{Clef::treble} : std::vector{Clef::treble, Clef::bass};
    system.brace = !slashes();
    system.key = key_at(bars_, first, placed_);
    if (first == 0) system.shows_meter = meter_of(bars_[first]);
    if (bars_[first].meter) system.shows_meter = bars_[first].meter;
    system.space = size(staff_space);
    system.finger_height = size(5.6);
    for (std::size_t i = first; i < first + count; ++i) system.bars.push_back(staff_bar(bars_[i]));
    mark_ties_from_before(system, first);
    return system;
  }

  [[nodiscard]] Meter meter_of(const ChartBar& bar) const { return placed_.analysis.timeline.meters.at(bar.played); }

  /// Ties that come in from the line before.
  void mark_ties_from_before(StaffSystem& system, std::size_t first) const {
    if (first == 0 || slashes() || bars_[first].chords.empty()) return;
    const std::size_t chord = bars_[first].chords.front().index;
    if (chord == 0 || !placed_.analysis.chords[chord].timed.held) return;
    for (const int staff : {0, 1}) {
      auto& events = system.bars.front().staves[static_cast<std::size_t>(staff)];
      const Voicing& before = hand_of(hands_.chords[chord - 1], staff);
      for (StaffNote& note : events.front().notes) {
        note.from_before = std::find(before.begin(), before.end(), note.pitch) != before.end();
      }
    }
  }

  void put_line(std::size_t first, std::size_t count) {
    // A single bar with very many chords is made smaller.
    const double usual = scale_;
    constexpr double smallest = 0.3;
    while (scale_ > smallest && SystemEngraver::least_width(system_of(first, count)) > full_width()) scale_ *= 0.95;
    put_line_here(first, count);
    scale_ = usual;
  }

  void put_line_here(std::size_t first, std::size_t count) {
    const StaffSystem system = system_of(first, count);
    double width = full_width();
    const bool ends = first + count == bars_.size() || breaks_before(bars_[first + count]);
    const double natural = SystemEngraver::natural_width(system);
    if (ends) width = std::min(width, std::max(natural * most_stretch, SystemEngraver::least_width(system)));
    const SystemEngraver engraver(system, width);
    const bool named = bars_[first].begins_section && !bars_[first].section.empty();
    bool sung = false;
    for (std::size_t i = first; i < first + count; ++i) {
      for (const ChartChord& chord : bars_[i].chords) sung = sung || !chord.words.empty();
    }
    const std::span<const ChartBar> line = std::span(bars_).subspan(first, count);
    const double signs = size(form_signs_height(line));
    const double over = engraver.above() + size(8 + chord_size) + signs;
    const double under =
        std::max(engraver.below(), size(4)) + size(staff_numeral_size + 5) + (sung ? size(staff_words_size + 4) : 0);
    const double heading = named ? size(16) : 0;
    flow_.keep(heading + over + engraver.height() + under + size(12));
    flow_.down(size(8));
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
          text_at(left, top - 2.3 * size(staff_space), std::to_string(bars_[first].number), {size(8), Face::italic}));
    }
    put_labels(engraver, first, count, left, top);
    std::vector<double> edges;
    for (std::size_t i = 0; i < count; ++i) edges.push_back(left + engraver.bar_left(i));
    edges.push_back(left + engraver.bar_right(count - 1));
    put_form_signs(flow_.marks(), line, edges, flow_.y() + signs + size(2), scale_);
    flow_.down(over + engraver.height() + under + size(4));
  }

  void put_labels(const SystemEngraver& engraver, std::size_t first, std::size_t count, double left, double top) {
    const double chord_y = top - std::max(engraver.above(), size(4)) - size(5);
    const double numeral_y =
        top + engraver.height() + std::max(engraver.below(), size(4)) + size(staff_numeral_size + 1);
    for (std::size_t i = 0; i < count; ++i) {
      std::size_t label = 0;
      for (const ChartChord& chord : bars_[first + i].chords) {
        if (chord.held) continue;
        const double x = left + engraver.label_x(i, label++);
        symbol_of(chord).put(flow_.marks(), x, chord_y);
        double numeral_x = x;
        const int group = next_group(flow_.marks());
        if (!chord.key.empty()) {
          flow_.marks().push_back(
              text_at(x, numeral_y, chord.key,
                      {size(staff_numeral_size), Face::italic, Ink::text, TextRole::numeral, MarkKind::numeral}));
          flow_.marks().back().group = group;
          numeral_x += key_width(chord);
        }
        numeral_of(chord).put(flow_.marks(), numeral_x, numeral_y, group);
        if (!chord.words.empty()) {
          flow_.marks().push_back(
              text_at(x, numeral_y + size(staff_words_size + 5), chord.words,
                      {size(staff_words_size), Face::roman, Ink::text, TextRole::note, MarkKind::words}));
        }
      }
    }
  }

  PageFlow& flow_;
  const Placement& placed_;
  const Hands& hands_;
  const std::vector<ChartBar>& bars_;
  double scale_;
};

/// Whether a note of a chord sounds on in the next one, which is held.
bool goes_on(const Placement& placed, const Hands& hands, std::size_t chord, const Pitch& pitch, int staff) {
  const auto& chords = placed.analysis.timeline.chords;
  if (chord + 1 >= chords.size() || !chords[chord + 1].held) return false;
  const Voicing& next = hand_of(hands.chords[chord + 1], staff);
  return std::find(next.begin(), next.end(), pitch) != next.end();
}

}  // namespace

std::vector<StaffEvent> hand_events(const Placement& placed, const Hands& hands, std::size_t first_chord,
                                    std::size_t end_chord, int staff) {
  const Timeline& timeline = placed.analysis.timeline;
  std::vector<Beats> lengths;
  for (std::size_t i = first_chord; i < end_chord; ++i) lengths.push_back(timeline.chords[i].length);
  const std::vector<WrittenNote> rhythm = written_bar(lengths, timeline.meters.at(timeline.chords[first_chord].bar));
  std::vector<StaffEvent> events;
  Beats at;
  for (std::size_t i = 0; i < rhythm.size(); ++i) {
    const std::size_t chord = first_chord + rhythm[i].event;
    StaffEvent event;
    event.start = at;
    event.value = rhythm[i].value;
    event.tuplet = rhythm[i].tuplet;
    const HandsChord& both = hands.chords[chord];
    const Voicing& pitches = hand_of(both, staff);
    const Fingers& fingers = staff == 0 ? both.right_fingers : both.left_fingers;
    const bool starts = i == 0 || rhythm[i - 1].event != rhythm[i].event;
    const bool ends = i + 1 == rhythm.size() || rhythm[i + 1].event != rhythm[i].event;
    // The same notes once more keep their fingers; they need not be told again.
    const bool moved = chord == 0 || hand_of(hands.chords[chord - 1], staff) != pitches;
    for (std::size_t n = 0; n < pitches.size(); ++n) {
      const int finger = starts && moved && !timeline.chords[chord].held && n < fingers.size() ? fingers[n] : 0;
      const bool tied = ends ? goes_on(placed, hands, chord, pitches[n], staff) : true;
      event.notes.push_back({pitches[n], finger, tied, false});
    }
    event.whole_bar = rhythm.size() == 1 && event.notes.empty();
    if (event.whole_bar) event.value = {2, false};
    at += rhythm[i].length;
    events.push_back(std::move(event));
  }
  return events;
}

void put_chart_staves(PageFlow& flow, const Placement& placed, const Hands& hands, const std::vector<ChartBar>& bars) {
  StaffChartSetter(flow, placed, hands, bars).set();
}

}  // namespace romanesca
