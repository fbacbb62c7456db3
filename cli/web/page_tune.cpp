#include "cli/web/page_tune.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "cli/formats/chords_json.h"
#include "cli/formats/engraving/svg_marks.h"
#include "cli/formats/engraving/system_engraver.h"
#include "cli/formats/html_text.h"
#include "cli/formats/paper/lead_sheet_bars.h"
#include "cli/web/page_data.h"
#include "theory/songs/song_tune.h"
#include "theory/tunes/verses.h"

namespace romanesca {
namespace {

constexpr double space = 8, words_size = 17, width = 560;
/// The page knows the width of its letters, this does not: the spacing of a word counts with so many ems a letter.
constexpr double letter_width = 0.52;
constexpr std::size_t most_notes = 20'000, longest_syllable = 200;
constexpr double longest_tick = 4.0 * 4000 * 12 * task_ticks;

Beats beats_of(double ticks) {
  return {static_cast<std::int64_t>(std::clamp(ticks, -longest_tick, longest_tick)), task_ticks};
}

/// The line of music that an answer shows.
class TuneLine {
 public:
  TuneLine(const Placement& song, const Tune& tune, int first, int count, std::size_t verse)
      : tune_(tune), verse_(verse), meters_(song.analysis.timeline.meters) {
    const auto& keys = song.analysis.keys.by_bar;
    system_.clefs = {Clef::treble};
    system_.key = keys.empty() ? song.key : keys[static_cast<std::size_t>(first) - 1];
    system_.space = space;
    if (first == 1) system_.shows_meter = meters_.first();
    if (first == 1 && tune.upbeat > Beats(0)) add_bar(0);
    for (int bar = first; bar < first + count; ++bar) add_bar(bar);
    if (first + count - 1 == song.analysis.timeline.bars) system_.bars.back().right = BarLine::final;
  }

  [[nodiscard]] OrderedJson answer() const {
    const double least = SystemEngraver::least_width(system_);
    const SystemEngraver engraver(system_, std::max(width, least));
    const double top = engraver.above() + space;
    const double baseline = top + std::max(engraver.highest_staff_depth(), 5 * space) + words_size;
    std::vector<Mark> marks;
    engraver.put(marks, 0, top);
    SvgWriter svg;
    for (const Mark& mark : marks) svg.write(mark, 0);
    OrderedJson json{
        {"svg", ""}, {"width", engraver.width()}, {"notes", OrderedJson::array()}, {"words", OrderedJson::array()}};
    std::string words;
    add_notes(engraver, baseline, json, words);
    const double height = baseline + words_size / 2;
    json["height"] = height;
    json["svg"] = fmt::format(
        "<svg viewBox=\"-4 0 {:.0f} {:.0f}\" xmlns=\"http://www.w3.org/2000/svg\" aria-hidden=\"true\">{}{}</svg>",
        engraver.width() + 8, height, svg.text(), words);
    return json;
  }

 private:
  /// What the verse sings there; where it has no words of its own, as in a refrain, those of the first.
  [[nodiscard]] const std::vector<SungSyllable>& sung_in(const TuneBar& bar) const {
    return verse_ < bar.verses.size() && !bar.verses[verse_].empty() ? bar.verses[verse_] : bar.verses.front();
  }

  void add_bar(int bar) {
    bars_.push_back(tune_bar(tune_, meters_, bar, bars_.empty()));
    numbers_.push_back(bar);
    StaffBar staff;
    staff.meter = bar == 0 ? meters_.first() : meters_.at(bar);
    staff.begins = bars_.back().begins;
    staff.staves.push_back(bars_.back().events);
    staff.syllables.emplace_back();
    for (const SungSyllable& syllable : sung_in(bars_.back())) {
      const double wide = letter_width * words_size * static_cast<double>(syllable.text.size());
      const double half = wide / 2;
      staff.syllables.back().push_back({bars_.back().events[syllable.event].start, half + words_size * 0.7, half});
    }
    system_.bars.push_back(std::move(staff));
  }

  void add_notes(const SystemEngraver& engraver, double baseline, OrderedJson& json, std::string& words) const {
    std::size_t event = 0;
    for (std::size_t bar = 0; bar < bars_.size(); ++bar) {
      std::size_t next = 0;
      int word = -1;
      const std::int64_t lower = system_.bars[bar].meter.lower;
      for (std::size_t i = 0; i < bars_[bar].events.size(); ++i, ++event) {
        const StaffEvent& here = bars_[bar].events[i];
        const double x = engraver.event_x(0, event);
        const double wide = engraver.event_width(0, event);
        const OrderedJson beat = beats_json(here.start * lower / 4);
        const std::vector<SungSyllable>& sung = sung_in(bars_[bar]);
        if (next < sung.size() && sung[next].event == i) {
          const SungSyllable& syllable = sung[next++];
          word = static_cast<int>(json["words"].size());
          const bool joined = syllable.end == SyllableEnd::hyphen;
          json["words"].push_back(
              {{"bar", numbers_[bar]}, {"beat", beat}, {"text", syllable.text}, {"joined", joined}});
          words +=
              fmt::format("<text x=\"{:.1f}\" y=\"{:.1f}\" text-anchor=\"middle\" font-size=\"{:.0f}\">{}{}</text>",
                          x + wide / 2, baseline, words_size, html_text(syllable.text), joined ? "-" : "");
        }
        const bool rest = here.notes.empty();
        json["notes"].push_back({{"bar", numbers_[bar]},
                                 {"beat", beat},
                                 {"x", std::round(x)},
                                 {"wide", std::round(wide)},
                                 {"word", rest ? -1 : word}});
      }
    }
  }

  const Tune& tune_;
  std::size_t verse_;
  const MeterMap& meters_;
  StaffSystem system_;
  std::vector<TuneBar> bars_;
  std::vector<int> numbers_;  ///< of the bars
};

}  // namespace

OrderedJson tune_json(const Tune& tune) {
  OrderedJson notes = OrderedJson::array();
  const auto ticks = [](Beats beats) { return std::llround(beats.quarters() * task_ticks); };
  for (const TuneNote& note : tune.notes) {
    notes.push_back({ticks(note.start), ticks(note.length), to_string(note.pitch)});
    if (note.syllable.empty() && note.later_verses.empty()) continue;
    for (std::size_t verse = 0; verse <= note.later_verses.size(); ++verse) {
      const Syllable sung = syllable_of(note, verse);
      notes.back().push_back(sung.text);
      notes.back().push_back(static_cast<int>(sung.end));
    }
  }
  return notes;
}

Tune read_tune_json(const OrderedJson& json) {
  Tune tune;
  if (!json.is_array()) return tune;
  for (const OrderedJson& each : json) {
    if (tune.notes.size() == most_notes) break;
    if (!each.is_array() || each.size() < 3 || !each[0].is_number() || !each[1].is_number() || !each[2].is_string())
      continue;
    const auto pitch = parse_pitch(each[2].get<std::string>());
    TuneNote note{beats_of(each[0].get<double>()), beats_of(each[1].get<double>()), pitch.value_or(Pitch())};
    const Beats free = tune.notes.empty() ? note.start : tune.notes.back().start + tune.notes.back().length;
    if (!pitch || note.length <= Beats(0) || note.start < free) continue;
    for (std::size_t verse = 0; verse < most_verses && each.size() >= 5 + 2 * verse; ++verse) {
      const auto &text = each[3 + 2 * verse], &end = each[4 + 2 * verse];
      if (!text.is_string() || !end.is_number_integer()) break;
      set_syllable(note, verse,
                   {text.get<std::string>().substr(0, longest_syllable),
                    static_cast<SyllableEnd>(std::clamp(end.get<int>(), 0, 2))});
    }
    tune.notes.push_back(std::move(note));
  }
  if (!tune.notes.empty() && tune.notes.front().start < Beats(0)) tune.upbeat = Beats(0) - tune.notes.front().start;
  return tune;
}

OrderedJson tune_answer(const OrderedJson& request) {
  const auto song = song_of(request);
  if (!song) return error_json(song.error());
  if (!has_tune(song->progression)) return {{"svg", ""}};
  const Tune tune = tune_of(song->progression, song->key);
  const int bars = song->analysis.timeline.bars;
  const int first = static_cast<int>(std::clamp(number_in(request, "first", 1), 1.0, static_cast<double>(bars)));
  const int count = static_cast<int>(std::clamp(number_in(request, "bars", 2), 1.0, 8.0));
  const std::size_t verses = std::max<std::size_t>(1, count_verses(tune.notes));
  const auto verse =
      static_cast<std::size_t>(std::clamp(number_in(request, "verse", 1), 1.0, static_cast<double>(most_verses)));
  OrderedJson answer = TuneLine(*song, tune, first, std::min(count, bars - first + 1), (verse - 1) % verses).answer();
  answer["verses"] = verses;
  return answer;
}

}  // namespace romanesca
