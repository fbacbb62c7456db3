#include "cli/formats/chords_json.h"

#include <cmath>

#include "theory/analysis/regions.h"
#include "theory/chords/numeral_text.h"

namespace romanesca {
namespace {

double rounded(double probability) { return std::round(probability * 1000) / 1000; }

OrderedJson hand_json(const Voicing& voicing, const Fingers& fingers, const std::vector<bool>& stays) {
  OrderedJson notes = OrderedJson::array();
  for (std::size_t i = 0; i < voicing.size(); ++i) {
    OrderedJson note{{"note", to_string(voicing[i])}, {"midi", voicing[i].midi()}};
    if (i < fingers.size()) note["finger"] = fingers[i];
    if (i < stays.size() && stays[i]) note["stays"] = true;
    notes.push_back(std::move(note));
  }
  return notes;
}

}  // namespace

OrderedJson beats_json(Beats beats) {
  if (beats.denominator() == 1) return beats.numerator();
  return beats.quarters();
}

OrderedJson key_json(const KeyGuess& guess) {
  return {{"tonic", to_string(guess.key.tonic)},
          {"mode", to_string(guess.key.mode)},
          {"confidence", rounded(guess.confidence)}};
}

OrderedJson chord_json(const Progression& progression, const Analysis& analysis, std::size_t index) {
  const Timeline& timeline = analysis.timeline;
  const AnalysedChord& each = analysis.chords[index];
  const TimedChord& timed = each.timed;
  OrderedJson chord{{"section", progression.sections[timed.section].name},
                    {"bar", timed.bar},
                    {"beat", beats_json(timeline.beat_in_bar(timed))},
                    {"beats", beats_json(timed.length * timeline.meters.at(timed.bar).lower / 4)},
                    {"symbol", timed.chord ? to_string(*timed.chord) : "N.C."}};
  if (timed.chord) {
    OrderedJson tones = OrderedJson::array();
    for (const PitchClass tone : timed.chord->tones()) tones.push_back(to_string(tone));
    chord["root"] = to_string(timed.chord->root);
    chord["bass"] = to_string(timed.chord->bass);
    // A bass from outside the chord sounds too, below its tones.
    if (!timed.chord->inversion()) tones.insert(tones.begin(), to_string(timed.chord->bass));
    chord["tones"] = std::move(tones);
    chord["key"] = to_string(each.key);
    chord["numeral"] = to_string(each.reading->numeral);
    chord["function"] = to_string(each.reading->function);
    chord["diatonic"] = each.reading->origin == Origin::diatonic;
    chord["origin"] = to_string(each.reading->origin);
  } else {
    for (const char* name : {"root", "bass", "key", "numeral", "function"}) chord[name] = nullptr;
    chord["tones"] = OrderedJson::array();
    chord["diatonic"] = true;
  }
  if (timed.held) chord["held"] = true;
  return chord;
}

OrderedJson ChordsJson::object() const {
  OrderedJson whole = head;
  whole["chords"] = OrderedJson::array();
  for (std::size_t i = 0; i < count; ++i) whole["chords"].push_back(chord(i));
  return whole;
}

std::string ChordsJson::text() const {
  constexpr std::string_view gap = "\"chords\":null";  // quotes inside a JSON string are escaped: it stands here only
  const std::string whole = head.dump();
  const std::size_t at = whole.find(gap);
  constexpr std::size_t usual_length = 320;  // bytes of a chord's object; a guess that saves copying
  std::string result;
  result.reserve(whole.size() + count * usual_length);
  result += whole.substr(0, at) + "\"chords\":[";
  for (std::size_t i = 0; i < count; ++i) {
    if (i > 0) result += ',';
    result += chord(i).dump();
  }
  result += ']';
  result += std::string_view(whole).substr(at + gap.size());
  result += '\n';
  return result;
}

ChordsJson analysis_json(const AnalysisReport& report) {
  const Analysis& analysis = report.analysis;
  OrderedJson json{{"schema", 1}};
  if (!report.progression.title.empty()) json["title"] = report.progression.title;
  json["key"] = key_json(analysis.keys.main);
  for (const char* list : {"alternatives", "chords", "patterns", "cadences", "pivots", "remarks", "ideas"}) {
    json[list] = OrderedJson::array();
  }
  json["chords"] = nullptr;
  const PrintedForm form = printed_form(report.progression);
  if (form.bars() != form.bars_played) json["bars"] = {{"played", form.bars_played}, {"printed", form.bars()}};
  for (const KeyGuess& guess : analysis.keys.alternatives) json["alternatives"].push_back(key_json(guess));
  const std::vector<KeyRegion> regions = key_regions(analysis);
  for (const KeyRegion& region : regions) {
    if (regions.size() < 2) break;
    OrderedJson each{{"bar", region.bar}, {"key", to_string(region.key)}};
    if (region.by != KeyChange::none) each["by"] = to_string(region.by);
    json["regions"].push_back(std::move(each));
  }
  for (const PatternMatch& match : report.patterns) {
    json["patterns"].push_back({{"id", match.id}, {"bar", match.bar}, {"bars", match.bars}});
    if (!match.instead.empty()) json["patterns"].back()["instead"] = match.instead;
  }
  for (const Cadence& cadence : analysis.cadences) {
    json["cadences"].push_back({{"kind", to_string(cadence.kind)}, {"bar", cadence.bar}});
  }
  for (const Pivot& pivot : find_pivots(analysis)) {
    json["pivots"].push_back({{"bar", analysis.chords[pivot.chord].timed.bar},
                              {"from", to_string(pivot.from)},
                              {"numeral", to_string(pivot.before)},
                              {"to", to_string(pivot.to)},
                              {"becomes", to_string(pivot.after)}});
  }
  for (const Remark& remark : report.remarks) {
    json["remarks"].push_back({{"bar", remark.bar}, {"kind", remark.kind}, {"text", remark.text}});
  }
  json["level"] = report.level;
  for (const Idea& idea : report.ideas) {
    OrderedJson chords = OrderedJson::array();
    for (const Chord& chord : idea.chords) chords.push_back(to_string(chord));
    json["ideas"].push_back({{"kind", idea.kind},
                             {"bar", idea.bar},
                             {"bars", idea.bars},
                             {"chords", std::move(chords)},
                             {"progression", idea.progression},
                             {"text", idea.text},
                             {"command", command_to_hear(idea, report.progression)}});
  }
  for (const Continuation& next : report.next) {
    json["next"].push_back({{"symbol", to_string(next.chord)},
                            {"numeral", to_string(next.numeral)},
                            {"share", rounded(next.share)},
                            {"reason", next.reason}});
  }
  return {std::move(json), analysis.chords.size(),
          [&report](std::size_t i) { return chord_json(report.progression, report.analysis, i); }};
}

ChordsJson chart_json(const Progression& progression, const Analysis& analysis, const Hands& hands) {
  OrderedJson head{{"schema", 1}};
  if (!progression.title.empty()) head["title"] = progression.title;
  head["key"] = key_json(analysis.keys.main);
  head["chords"] = nullptr;
  head["movement"] = {{"semitones", hands.semitones}};
  for (const BrokenRule& each : hands.broken_rules) {
    head["gave_way"].push_back(
        {{"bar", analysis.chords[each.chord].timed.bar}, {"rule", to_string(each.rule)}, {"text", each.text}});
  }
  const auto chord_of = [&progression, &analysis, &hands](std::size_t i) {
    const HandsChord& chord = hands.chords[i];
    OrderedJson json = chord_json(progression, analysis, i);
    // Of the right hand's shape; that of the chord that sounds, which its numeral has too, is chord_inversion.
    json["inversion"] = chord.inversion < 0 ? OrderedJson(nullptr) : OrderedJson(chord.inversion);
    const auto& sounding = analysis.chords[i].timed.chord;
    const std::optional<int> by_bass = sounding ? sounding->inversion() : std::nullopt;
    json["chord_inversion"] = by_bass ? OrderedJson(*by_bass) : OrderedJson(nullptr);
    json["right"] = hand_json(chord.right, chord.right_fingers, chord.stays);
    json["left"] = hand_json(chord.left, chord.left_fingers, {});
    return json;
  };
  return {std::move(head), hands.chords.size(), chord_of};
}

}  // namespace romanesca
