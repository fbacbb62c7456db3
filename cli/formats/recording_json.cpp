#include "cli/formats/recording_json.h"

#include <fmt/format.h>

#include <cmath>

namespace romanesca {
namespace {

double to_thousandths(double value) { return std::round(value * 1000) / 1000; }

/// The heard chord that sounds at a place of a bar.
const TranscribedChord& heard_at(const TranscribedBar& bar, Beats in_bar, Beats pulse) {
  const auto place = static_cast<int>(whole_times(in_bar, pulse));
  const TranscribedChord* found = &bar.chords.front();
  for (const TranscribedChord& chord : bar.chords) {
    if (chord.pulse <= place) found = &chord;
  }
  return *found;
}

std::string bar_numbers(const std::vector<int>& numbers) { return fmt::format("{}", fmt::join(numbers, ", ")); }

/// That it is a draft, and which bars to look at first.
std::string check_by_ear(const std::vector<int>& doubtful) {
  if (doubtful.empty()) return "\na draft: check it by ear\n";
  return fmt::format("\na draft: check it by ear, first of all bar{} {}\n", doubtful.size() == 1 ? "" : "s",
                     bar_numbers(doubtful));
}

std::string tuning_text(const char* what, double cents) {
  if (std::abs(cents) < 8) return {};
  return fmt::format("; the {} is {:.0f} cents {}", what, std::abs(cents), cents < 0 ? "flat" : "sharp");
}

}  // namespace

ChordsJson recording_json(const RecordingChart& chart, const std::string& text) {
  OrderedJson bars = OrderedJson::array();
  for (std::size_t i = 0; i < chart.heard.bars.size(); ++i) {
    const TranscribedBar& bar = chart.heard.bars[i];
    bars.push_back({{"bar", i + 1},
                    {"start", to_thousandths(bar.start_s)},
                    {"end", to_thousandths(bar.end_s)},
                    {"confidence", to_thousandths(bar.sure)},
                    {"doubtful", static_cast<bool>(chart.doubtful[i])}});
  }
  OrderedJson beats = OrderedJson::array();
  for (const double beat : chart.heard.beats_s) beats.push_back(to_thousandths(beat));
  OrderedJson head{{"schema", 1},
                   {"key", key_json(chart.analysis.keys.main)},
                   {"tempo", std::round(chart.heard.tempo_bpm * 10) / 10},
                   {"meter", to_string(chart.song.meter())},
                   {"tuning_cents", std::round(chart.heard.tuning_cents)},
                   {"bars", std::move(bars)},
                   {"beats", std::move(beats)},
                   {"chords", nullptr},
                   {"text", text}};
  return {std::move(head), chart.analysis.chords.size(), [&chart](std::size_t index) {
            const Timeline& line = chart.analysis.timeline;
            const TimedChord& timed = chart.analysis.chords[index].timed;
            const TranscribedBar& bar = chart.heard.bars[static_cast<std::size_t>(timed.bar - 1)];
            const TranscribedChord& heard =
                heard_at(bar, timed.start - line.meters.start_of(timed.bar), line.meter().pulse_length());
            OrderedJson chord = chord_json(chart.song, chart.analysis, index);
            chord["start"] = to_thousandths(heard.start_s);
            chord["end"] = to_thousandths(heard.end_s);
            chord["confidence"] = to_thousandths(heard.sure);
            return chord;
          }};
}

std::string recording_summary(const RecordingChart& chart) {
  std::string text =
      fmt::format("heard {} bars of {} at {:.0f} beats a minute, {}", chart.heard.bars.size(),
                  to_string(chart.song.meter()), chart.heard.tempo_bpm, to_string(chart.analysis.keys.main.key));
  text += tuning_text("piano", chart.heard.tuning_cents);
  std::vector<int> bars;
  for (std::size_t i = 0; i < chart.doubtful.size(); ++i) {
    if (chart.doubtful[i]) bars.push_back(static_cast<int>(i + 1));
  }
  return text + check_by_ear(bars);
}

OrderedJson recorded_tune_json(const RecordedTune& tune, const std::string& text) {
  const Progression& song = tune.song.progression;
  OrderedJson notes = OrderedJson::array();
  for (const VoiceNote& note : tune.heard.notes) {
    notes.push_back({{"start", to_thousandths(note.start_s)},
                     {"end", to_thousandths(note.end_s)},
                     {"midi", note.midi},
                     {"pitch", std::round(note.pitch * 100) / 100},
                     {"sure", note.sure}});
  }
  return {{"schema", 1},
          {"key", {{"tonic", to_string(song.key->tonic)}, {"mode", to_string(song.key->mode.value_or(Mode::major))}}},
          {"tempo", std::round(tune.beat.tempo_bpm * 10) / 10},
          {"meter", to_string(tune.beat.meter)},
          {"tuning_cents", std::round(tune.heard.tuning_cents)},
          {"doubtful_bars", tune.doubtful},
          {"notes", std::move(notes)},
          {"text", text}};
}

std::string recorded_tune_summary(const RecordedTune& tune) {
  const Progression& song = tune.song.progression;
  std::string text = fmt::format("heard {} notes in {} at {:.0f} beats a minute, {}", tune.heard.notes.size(),
                                 to_string(tune.beat.meter), tune.beat.tempo_bpm,
                                 to_string(Key{song.key->tonic, song.key->mode.value_or(Mode::major)}));
  text += tuning_text("voice or instrument", tune.heard.tuning_cents);
  return text + check_by_ear(tune.doubtful) +
         "bar lines in the wrong place: --shift, --meter, --tempo; then: romanesca harmonise, romanesca chart\n";
}

std::string match_text(const ChartMatch& match) {
  const auto percent = [](int part, int whole) { return whole > 0 ? 100.0 * part / whole : 0.0; };
  std::string text = fmt::format(
      "bars right              {} of {} ({:.0f} %)\n"
      "  with their sevenths   {}\n"
      "root right              {:.1f} % of the time\n"
      "major and minor right   {:.1f} %\n"
      "sevenths right          {:.1f} %\n"
      "marked as doubtful      {} bars, of which {} are right\n"
      "key                     {}\n"
      "meter                   {}\n",
      match.right, match.bars, percent(match.right, match.bars), match.right_exactly, 100 * match.root,
      100 * match.third, 100 * match.exact, match.doubtful, match.doubtful_right, match.same_key ? "right" : "wrong",
      match.same_meter ? "right" : "wrong");
  if (!match.wrong.empty()) text += fmt::format("wrong bars              {}\n", bar_numbers(match.wrong));
  return text;
}

}  // namespace romanesca
