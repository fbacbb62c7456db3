#include "cli/formats/chart_json.h"

namespace romanesca {
namespace {

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
    json["inversion"] = chord.inversion < 0 ? OrderedJson(nullptr) : OrderedJson(chord.inversion);
    json["right"] = hand_json(chord.right, chord.right_fingers, chord.stays);
    json["left"] = hand_json(chord.left, chord.left_fingers, {});
    return json;
  };
  return {std::move(head), hands.chords.size(), chord_of};
}

}  // namespace romanesca
