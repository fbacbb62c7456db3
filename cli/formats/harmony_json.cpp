#include "cli/formats/chords_json.h"
#include "cli/formats/harmony_text.h"

namespace romanesca {
namespace {

/// In units of the meter's lower number.
Beats in_beats(Beats length, const Meter& meter) { return length * meter.lower / 4; }

OrderedJson chords_json(const Timeline& timeline, int bars_before) {
  OrderedJson chords = OrderedJson::array();
  for (const TimedChord& timed : timeline.chords) {
    chords.push_back({{"bar", timed.bar + bars_before},
                      {"beat", beats_json(timeline.beat_in_bar(timed))},
                      {"beats", beats_json(in_beats(timed.length, timeline.meters.at(timed.bar)))},
                      {"symbol", to_string(*timed.chord)}});
  }
  return chords;
}

OrderedJson outside_json(const std::vector<OutsideNote>& notes, const HarmonyReport& report) {
  OrderedJson list = OrderedJson::array();
  for (const OutsideNote& note : notes) {
    list.push_back({{"bar", note.bar + report.bars_before},
                    {"beat", beats_json(note.beat)},
                    {"note", to_string(report.tune->notes[note.note].pitch)},
                    {"symbol", to_string(note.chord)},
                    {"kind", to_string(note.kind)},
                    {"text", note.text}});
  }
  return list;
}

}  // namespace

OrderedJson harmony_json(const HarmonyReport& report) {
  OrderedJson answer{{"schema", 1}, {"key", to_string(report.harmony.keys.front().key)}};
  if (report.harmony.keys.size() > 1) answer["confidence"] = report.harmony.keys.front().confidence;
  answer["choices"] = OrderedJson::array();
  for (std::size_t i = 0; i < report.harmony.choices.size(); ++i) {
    const HarmonyChoice& choice = report.harmony.choices[i];
    answer["choices"].push_back({{"id", choice_letter(i)},
                                 {"kind", to_string(choice.kind)},
                                 {"level", report.level},
                                 {"key", to_string(choice.key())},
                                 {"chords", chords_json(choice.analysis.timeline, report.bars_before)},
                                 {"rubs", outside_json(choice.rubs, report)},
                                 {"text", choice.reason}});
  }
  if (report.had_chords) answer["outside"] = outside_json(report.outside, report);
  return answer;
}

}  // namespace romanesca
